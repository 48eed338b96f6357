"""Questions of lesson 14, where no test halves anything: in which order to look, and what an order costs.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Option
from kit.exercises.content_14_handfuls import BOAT
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import Ordered
from kit.exercises.question import Picture
from kit.exercises.strategy import MeanMinutes, QuickestLook

PANEL_FEED = Picture(machine=BOAT, stage="panel feed")
# Minutes as the boat's own points have them: F1 1, F2 4, S1 5, the posts 2.
LOOKS = {
    "sheltered": {"cards": "3 3 9 5", "whose": "a sheltered harbour"},
    "salt": {"cards": "2 11 4 3", "whose": "a harbour open to the sea"},
    "refit": {"cards": "1 2 8 9", "whose": "a yard that has just fitted new batteries"},
    "old": {"cards": "6 3 10 1", "whose": "a yard full of old boats"},
}
for _case in LOOKS.values():
    _case |= dict(zip(("fuse", "holder", "key", "clamps"), _case["cards"].split(), strict=True))
LOOK_FEEDBACK = "For each place divide its cards by its minutes. What finds most cards a minute comes first."
WHICH_LOOK_FIRST = Ordered(
    id="14.6", version=1, title="Where do you look first?", picture=PANEL_FEED, criteria=("next-test",),
    prompt="A dark panel on a tender, in {whose}. Four places can be looked at, and each look says for sure whether "
    "the fault is there. The last 20 cards name them as often as it says below. You look until you have found it. In "
    "which order does that take fewest minutes on average?",
    given={"case": tuple(LOOKS)},
    words=LOOKS,
    options=(
        Option(id="fuse", text="main fuse F1: {fuse} of 20 cards, 1 minute", feedback=LOOK_FEEDBACK),
        Option(id="holder", text="panel fuse F2 and its holder: {holder} of 20 cards, 4 minutes",
               feedback=LOOK_FEEDBACK),
        Option(id="key", text="key switch S1: {key} of 20 cards, 5 minutes", feedback=LOOK_FEEDBACK),
        Option(id="clamps", text="battery clamps X1 and X2: {clamps} of 20 cards, 2 minutes", feedback=LOOK_FEEDBACK),
    ),
    right=QuickestLook(cards="{cards}", minutes="1 4 5 2"),
    why="Cards divided by minutes, the largest first. Not the likeliest first, and not the quickest first: what finds "
    "most faults a minute. A published rule says the same for two suspects, and it holds for any number.",
    hints=(
        "The likeliest place may take so long that two others are looked at meanwhile.",
        "Divide each one's cards by its minutes. The largest result comes first.",
        "5 cards in 1 minute is 5 a minute; 8 cards in 4 minutes is 2 a minute. The 5 cards come first.",
    ),
)

# Chances .5 .3 .15 .05, looks of 10, 2, 1 and 8 minutes: likeliest first takes 3.00 minutes more than the best order
# (references.md, diagnosis, with repairs the same in both).
MEANS = {
    "A B C D": {"order": "1 2 3 4", "steps": "10 (A), 12 (B), 13 (C), 21 (D)"},
    "B C A D": {"order": "2 3 1 4", "steps": "13 (A), 2 (B), 3 (C), 21 (D)"},
    "C B A D": {"order": "3 2 1 4", "steps": "13 (A), 3 (B), 1 (C), 21 (D)"},
    "A C B D": {"order": "1 3 2 4", "steps": "10 (A), 13 (B), 11 (C), 21 (D)"},
    "D A B C": {"order": "4 1 2 3", "steps": "18 (A), 20 (B), 21 (C), 8 (D)"},
}
WHAT_AN_ORDER_COSTS = Number(
    id="14.7", version=1, title="What an order costs", picture=PANEL_FEED, criteria=("next-test", "figures"),
    unit="min",
    prompt="20 cards with one complaint: it was A on 10 of them, B on 6, C on 3, D on 1. A look at A takes 10 minutes, "
    "at B 2, at C 1, at D 8. You look in the order {plan} until you have found it. How many minutes does a job take on "
    "average?",
    given={"plan": tuple(MEANS)},
    words=MEANS,
    asks=MeanMinutes(cards="10 6 3 1", minutes="10 2 1 8", order="{order}"),
    why="The minutes until each is found are {steps}. Times the cards, added up, divided by 20. Try the others: B C A "
    "D takes 8.6 minutes, A B C D takes 11.6. Same looks, same faults; only the order is another.",
    hint="For each of the four: how many minutes have gone when it is found? Multiply by its cards, add the four, "
    "divide by 20.",
    hints=(
        "What is found second has cost the first look as well.",
        "Make a row for each: minutes until it is found, times its cards. Add the four rows, then divide by 20.",
        "In the order D C B A: D 8 min × 1, C 9 × 3, B 11 × 6, A 21 × 10; together 311; divided by 20, 15.6 min.",
    ),
    slips={
        "all of them": Slip(points=1, reason="That is what all four looks take together. You stop when you have found "
                            "it, and mostly that is before the end."),
        "cards left out": Slip(points=2, reason="You have the minutes right, {steps}, but not each of them comes up as "
                               "often: A on 10 of 20 cards, D on 1."),
        "no waiting": Slip(points=1, reason="That leaves out what was looked at before. What is found second has cost "
                           "the first look as well."),
        "not shared out": Slip(points=2, reason="That is what all 20 jobs take together. Divide by 20."),
        "first alone": Slip(reason="That is the first look alone. It finds the fault on its own cards only."),
    },
)
