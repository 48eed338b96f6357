"""What the owners of the invented workshop answer when they are asked, case by case.

Everybody is asked the same four questions, so that a question gives nothing away; an owner tells what happened, never
what is wrong.
"""

from collections.abc import Mapping
from types import MappingProxyType

QUESTIONS = (
    "When did it begin, and all at once or bit by bit?",
    "What was done to it lately, and by whom?",
    "Does it come and go: wet, cold, warm, shaken?",
    "How old is the battery, and when was it charged?",
)
USUAL = (
    "I noticed it yesterday, when I wanted to use it.", "Nothing that I know of.", "No, it is always the same.",
    "I could not tell you; it has been fine so far.",
)
ONCE, SLOWLY = "All at once, yesterday.", "Bit by bit, over weeks."

# The four answers in the order of the questions; an empty one is the usual one.
_ANSWERS: Mapping[str, Mapping[str, tuple[str, str, str, str]]] = MappingProxyType({
    "orchard-bike": {
        "F1 blown": (ONCE, "", "", "Fitted in spring."),
        "clamp loose": ("Since last week.", "I put a new battery in myself last week.", "", "It is new."),
        "battery sulphated": ("First time out this spring.", "", "",
                              "Four years. It stood in the shed all winter without a charger."),
        "stop switch open": ("After I washed it.", "I had the hose on it.", "", "Charged at the weekend."),
        "button resistive": (SLOWLY, "", "Some days it takes ten goes.", "Charged at the weekend."),
        "relay contacts burnt": ("After the cold weeks.", "In the cold I cranked it long and often.", "",
                                 "New this month; the old one was weak all winter."),
        "engine ground corroded": (SLOWLY, "The frame was painted before the season.", "The more I try, the warmer the "
                                   "clutch cable.", "New last month, charged."),
        "clutch switch open": ("Since it fell over.", "It fell on its left side; I bent the lever back.", "",
                               "Charged at the weekend."),
        "interlock diode shorted": ("Since the neighbour gave me a jump.", "We used jump leads, and got them wrong "
                                    "first.", "", "It was flat that day, charged since."),
        "brushes worn": (SLOWLY, "A knock with a stick on the starter helps.", "", "New last year, charged."),
    },
    "ride-on-mower": {
        "solenoid case ungrounded": ("After the winter.", "", "", "Charged last week."),
        "run seat switch open": (SLOWLY, "", "When I sit right at the front it runs on.", ""),
        "brake switch out": (SLOWLY, "", "If I stamp on the pedal it goes.", "Charged last week."),
        "blade switch open": ("After I mowed wet grass.", "I did not clean the deck.", "", "Charged last week."),
        "kill wire grounded": (ONCE, "The engine cover was off for a new rope.", "", ""),
        "kill wire open": ("Since the cover was off.", "The engine cover was off; a thin wire was pulled.", "", ""),
        "solenoid welded": (ONCE, "The battery was low and I kept trying.", "", "Nearly flat these last weeks."),
        "dead cell": ("First try this spring.", "", "", "Five years; it stood over the winter as it was."),
        "regulator dead": (SLOWLY, "A new battery last month; the clips sparked when I put it in.", "",
                           "New last month, and flat every third mow."),
        "decompression lost": (SLOWLY, "The valves have never been looked at.", "", "New this spring, charged."),
    },
    "harbour-tender": {
        "isolator burnt": (SLOWLY, "I turn the big switch off with everything on; it crackles.", "", "Two years."),
        "lug corroded inside": (SLOWLY, "", "One cable gets warm.", "New this season, charged."),
        "neutral switch out": (SLOWLY, "", "If I jiggle the lever it goes.", "Charged."),
        "kill-cord open": (ONCE, "She took a wave over the side.", "", "Charged."),
        "relay socket green": (SLOWLY, "She took water in autumn.", "Some mornings it goes, some not.", "Charged."),
        "float switch stuck": ("Every week.", "There is weed in the bilge.", "", "Full on Friday, flat on Monday."),
        "engine minus loose": (SLOWLY, "The engine mounts were renewed.", "Worse when she shakes.", "Charged."),
        "fuse holder ghost": ("After the storm.", "There was spray in the panel.", "", "Charged."),
        "alternator diodes failed": ("Since Sunday.", "I turned the big switch off before the engine had stopped.", "",
                                     "It only holds what the shore charger gives it."),
        "cable undersized": ("Since the refit.", "The battery was moved forward and new cables were made.", "",
                             "New with the refit."),
    },
    "site-generator": {
        "one plug open": (SLOWLY, "", "Only when it is cold.", "Charged."),
        "glow contacts burnt": ("With the first frost.", "", "Only when it is cold.", "Charged."),
        "glow timer dead": ("After the rain.", "The panel stood open in the rain.", "", "Charged."),
        "hold coil open": ("On a hot day.", "", "", "Charged."),
        "pull coil stays on": ("This week.", "I have put in three fuses.", "", "Charged."),
        "oil switch stuck": ("After the oil change.", "Oil and filter were changed.", "", "Charged."),
        "emergency stop open": ("After it was moved.", "Somebody tried the red button before it was moved.", "",
                                "Charged."),
        "unit ground resistive": ("Since it was painted.", "The frame was painted.", "", "Charged."),
        "starter hold winding open": (SLOWLY, "It was cranked a good deal in the frost.", "", "New, charged."),
        "float charger off": ("Each time it has stood for months.", "It was moved to another wall.", "",
                              "It is charged, runs, and half a year later it is flat."),
    },
    "compact-loader": {
        "one battery weak": (SLOWLY, "Somebody wired a 12 V radio in.", "", "Both new in spring."),
        "link corroded": (SLOWLY, "One battery was overfilled.", "", "Two years, charged."),
        "main relay coil open": ("On a hot afternoon.", "", "", "Charged."),
        "main contacts burnt": (SLOWLY, "I turn the key off with the work lamps on, as ever.", "", "Charged."),
        "neutral input lost": ("Since the lever was set.", "The lever was adjusted.", "If I rock the lever it goes.",
                               "Charged."),
        "charge lamp open": (SLOWLY, "", "", "Both flat by Friday."),
        "alternator diode open": (SLOWLY, "We jumped it from the truck; the leads were wrong at first.", "",
                                  "Flat after a long day."),
        "12 V relay fitted": (ONCE, "I put in a relay from the drawer. It worked, then it smelt.", "", "Charged."),
        "85 and 86 swapped": ("With the new relay.", "I changed the relay and its socket.", "", "Charged."),
        "seat-bar wire broken": (SLOWLY, "", "It comes and goes with the bar.", "Charged."),
    },
    "bench-board": {
        "F1 blown": (ONCE, "A bulb was changed.", "", "Charged this morning."),
        "lamp open": (ONCE, "The board fell off the bench.", "", "Charged this morning."),
        "switch open": (SLOWLY, "", "", "Charged this morning."),
        "holder minus open": (ONCE, "A new bulb was tried.", "", "Charged this morning."),
        "joint 5 ohm": ("Since the lead was mended.", "A lead was mended by a beginner.", "", "Charged this morning."),
        "joint 50 kohm": ("After the holidays.", "It stood in the damp cellar.", "", "Charged this morning."),
        "battery flat": ("This morning.", "", "", "It stood on the shelf, and nobody knows how long."),
        "switch bridged": (ONCE, "A new plug was put on its wires.", "", "Charged this morning."),
        "short after switch": ("Each time it is switched on.", "I have put in two fuses.", "", "Charged this morning."),
        "wrong-watt lamp": ("Since the bulb was changed.", "A bulb from the drawer was put in.", "",
                            "Charged this morning."),
    },
})


def answers_of(machine_id: str, case: str) -> Mapping[str, str]:
    """The owner's answers, by question; the usual ones where nobody wrote any."""
    given = _ANSWERS.get(machine_id, {}).get(case, ("",) * len(QUESTIONS))
    return MappingProxyType({
        question: answer or usual for question, answer, usual in zip(QUESTIONS, given, USUAL, strict=True)
    })


def tells_the_cause(machine_id: str, case: str) -> bool:
    """Whether the owner, asked what was done, tells what happened."""
    return bool(_ANSWERS.get(machine_id, {}).get(case, ("", ""))[1])
