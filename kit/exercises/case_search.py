"""Finding a case by what a person would type of it: click, dark, machine gun, dies when the key is released.

What is looked in is what may be known: the owner's words, what is seen and heard, the kinds of symptom, the machine. Of
cases that are open already, what was told of them as well. The order is always the same: first what fits all words,
then what fits them in better places, then the card's number.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from types import MappingProxyType

from kit.exercises.case_fronts import KINDS, fronts

# How much it says where a word stands: among the kinds of symptom, in the owner's words, in the machine's name, in
# what was told of an open case, in what is seen and heard.
WEIGHTS: Mapping[str, int] = MappingProxyType({"kinds": 8, "owner": 5, "machine": 4, "told": 3, "noticed": 2})
# What people say for a kind of symptom; a phrase is looked for before its words are.
SAID: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "silent": ("silent", "silence", "no click", "no sound", "dead silent", "does nothing", "nothing happens"),
    "one click": ("one click", "single click", "just clicks", "only clicks", "click", "clicks"),
    "clatter": ("clatter", "chatter", "machine gun", "machinegun", "rattle", "rapid clicks", "clicking", "buzz",
                "ticking"),
    "slow crank": ("slow", "slowly", "sluggish", "lazy", "turns over slowly", "slow crank", "treacle"),
    "grunt": ("grunt", "groan", "one clunk", "stall", "jammed", "stiff"),
    "cranks well, will not fire": ("will not fire", "wont fire", "no spark", "cranks but", "spins", "never fires",
                                   "cranks well", "does not fire", "no fire"),
    "fires and dies": ("fires and dies", "starts and stops", "starts then dies", "runs then stops", "stops itself",
                       "cuts out", "key released", "release the key", "let go"),
    "will not stop": ("will not stop", "wont stop", "keeps running", "keeps cranking", "runs on", "will not go off",
                      "cannot stop", "wont switch off", "stays on"),
    "goes flat": ("flat", "drain", "drained", "discharged", "no charge", "not charging", "charging"),
    "blows fuses": ("blows fuses", "fuse", "fuses", "blows", "pop"),
    "only sometimes": ("sometimes", "intermittent", "now and then", "on and off", "comes and goes", "random"),
    "dim or ghost": ("dim", "dims", "weak light", "glimmer", "ghost", "phantom", "faint", "pulses", "pulse"),
    "stays dark": ("dark", "dead", "nothing lights", "no lights", "no lamp", "stays dark", "no light", "unlit"),
    "a lamp lies": ("lies", "warning lamp", "charge lamp", "lit when", "glows", "stays lit"),
    "gauges jump or lie down": ("gauge", "gauges", "needle", "needles"),
    "panel restarts": ("reboot", "reboots", "restarts", "resets", "reset"),
    "too hot or too bright": ("smell", "smells", "smelt", "hot", "burnt", "smoke", "too bright", "glare"),
    "runs rough": ("rough", "shakes", "smokes white", "white smoke", "misfire", "misfires"),
})
# Other words for words that stand in the cases.
MEANS: Mapping[str, str] = MappingProxyType({
    "motor": "starter", "light": "lamp", "bulb": "lamp", "headlight": "head", "headlamp": "head",
    "turn": "crank", "ignition": "key", "boat": "tender", "motorcycle": "bike", "motorbike": "bike",
    "tractor": "mower", "lawnmower": "mower", "genset": "generator", "digger": "loader", "board": "bench",
    "earth": "ground", "released": "let",
})
# What is said of lamps that keep their light: it speaks against a kind of symptom.
AGAINST: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "dim or ghost": ("stay bright", "stays bright", "still bright", "bright as ever", "not dim", "do not dim"),
})
_EVERYWHERE = (
    "a an and are as at be but by do does for from has have i if in is it its just my me not of off on or over so than "
    "that the then there this to up was when will wont dont doesnt with would you your she he her can only all no stay "
    "stays still")
STOP = frozenset(_EVERYWHERE.split())
EVERYWHERE = "That fits every case: type what you see or hear, or press one of the symptoms."


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a search found: cards in order, and a line of help where a word is unknown or nothing fits."""

    cards: tuple[str, ...]
    help: str = ""


def look_up(
    typed: str, *, kind: str = "", machine_id: str = "", among: Iterable[str] | None = None,
    told: Mapping[str, str] = MappingProxyType({}),
) -> Found:
    """The cards that fit what is typed, of one kind of symptom and one machine where these are named.

    ``among`` are the cards to choose from (all); ``told`` what was told of open cases, by card.
    """
    rest = [
        card for card in (fronts() if among is None else among)
        if (not kind or kind in fronts()[card].kinds) and machine_id in ("", fronts()[card].machine_id)
    ]
    wanted, unknown = _wanted(typed, told)
    help_ = _about_unknown(unknown, told) if unknown else ""
    if not wanted:
        everywhere = EVERYWHERE if typed.strip() and not unknown else ""
        return Found(cards=() if unknown else tuple(rest), help=help_ or everywhere)
    against, scored = _spoken_against(typed), []
    for place, card in enumerate(rest):
        places = [_places(term, card, told.get(card, "")) for term in wanted]
        fits = sum(bool(each) for each in places) - len(against & set(fronts()[card].kinds))
        # A kind of symptom that fits says more than a word that stands somewhere.
        kinds = sum(named in fronts()[card].kinds for named, _ in wanted if named)
        if fits > 0:
            scored.append((-fits, -kinds, -sum(places), place, card))
    scored.sort()
    best = scored[0][0] if scored else 0
    cards = tuple(card for fits, *_, card in scored if fits == best)
    if not cards:
        help_ = help_ or "Nothing here fits that; take a word away, or another machine or symptom."
    elif -best < len(wanted):
        help_ = help_ or f"No case has all of that; these have {-best} of {len(wanted)} things."
    return Found(cards=cards, help=help_)


def known_words(told: Mapping[str, str] = MappingProxyType({})) -> tuple[str, ...]:
    """Every single word that finds something, sorted."""
    words = {word for text in told.values() for word in _words(text)} | set(_vocabulary())
    said = {phrase for phrase, _ in _phrases() if " " not in phrase}
    return tuple(sorted(words | set(MEANS) | said))


def _wanted(typed: str, told: Mapping[str, str]) -> tuple[list[tuple[str, str]], list[str]]:
    """What is asked for, as (kind, "") or ("", stem), and the words nobody knows."""
    text = f" {' '.join(_split(typed))} "
    wanted: list[tuple[str, str]] = []
    for phrase, kind in _phrases():
        if f" {phrase} " in text:
            text = text.replace(f" {phrase} ", "  ")
            wanted.append((kind, _stem(phrase) if " " not in phrase else ""))
    stems = {_stem(word) for word in known_words(told)}
    unknown = []
    for word in text.split():
        if word in STOP:
            continue
        stem = _stem(MEANS.get(word, MEANS.get(_stem(word), word)))
        if stem in stems:
            wanted.append(("", stem))
        else:
            unknown.append(word)
    return list(dict.fromkeys(wanted)), unknown


def _spoken_against(typed: str) -> set[str]:
    """The kinds of symptom that what is typed says are not there."""
    text = f" {' '.join(_split(typed))} "
    return {kind for kind, said in AGAINST.items() if any(f" {phrase} " in text for phrase in said)}


def _about_unknown(unknown: list[str], told: Mapping[str, str]) -> str:
    known, lines, strange = known_words(told), [], []
    for word in unknown:
        near = get_close_matches(word, known, n=4, cutoff=0.7)
        if near:
            lines.append(f"No case knows “{word[:30]}”. Near it: {', '.join(near)}.")
        else:
            strange.append(f"“{word[:30]}”")
    if strange:
        lines.append(f"No case knows {' or '.join(strange)}. Say it another way: {', '.join(list(KINDS)[:6])} …")
    return " ".join(lines)


def _places(term: tuple[str, str], card: str, told: str) -> int:
    """How well a card fits one thing asked for; 0: not at all."""
    kind, stem = term
    found = WEIGHTS["kinds"] if kind and kind in fronts()[card].kinds else 0
    if not stem:
        return found
    here = _looked_in(card) | {"told": frozenset(map(_stem, _words(told)))}
    return found + sum(WEIGHTS[place] for place, stems in here.items() if stem in stems)


@cache
def _looked_in(card: str) -> dict[str, frozenset[str]]:
    front = fronts()[card]
    texts = {"owner": front.complaint, "machine": f"{front.machine} {card}", "noticed": " ".join(front.noticed)}
    return {place: frozenset(map(_stem, _words(text))) for place, text in texts.items()}


@cache
def _vocabulary() -> frozenset[str]:
    return frozenset(
        word for front in fronts().values()
        for word in _words(f"{front.complaint} {front.machine} {front.card} {' '.join(front.noticed)}"))


@cache
def _phrases() -> tuple[tuple[str, str], ...]:
    """Every phrase for a kind, the longest first."""
    pairs = [(phrase, kind) for kind, phrases in SAID.items() for phrase in phrases]
    return tuple(sorted(pairs, key=lambda pair: (-len(pair[0]), pair[0])))


def _split(text: str) -> list[str]:
    return re.findall(r"[a-z0-9]+", text.lower().replace("'", "").replace("’", ""))


def _words(text: str) -> list[str]:
    return [word for word in _split(text) if word not in STOP]


def _stem(word: str) -> str:
    """A word without its ending, near enough for this: clicks, clicking and click are one.

    >>> [_stem(word) for word in ("clicks", "clicking", "dies", "cranked", "bus")]
    ['click', 'click', 'die', 'crank', 'bus']
    """
    for ending, instead in (("ies", "ie"), ("ing", ""), ("ed", ""), ("es", "e"), ("s", "")):
        if word.endswith(ending) and len(word) - len(ending) >= 3 - (ending == "ies") * 2 and not word.endswith("ss"):
            return word[: len(word) - len(ending)] + instead
    return word
