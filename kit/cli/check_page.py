"""The page ``check`` leaves behind: what was found, and every drawing, in HTML that needs nothing from outside."""

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from pathlib import Path
from typing import Protocol

from kit.draw import Picture
from kit.errors import KitError
from kit.machines import Machine

STYLE = (
    "body{font:16px/1.5 sans-serif;max-width:70rem;margin:1rem auto;padding:0 1rem;color:#111;background:#fff}"
    "img{max-width:none}figure{margin:1rem 0;overflow-x:auto}pre{white-space:pre-wrap;font:inherit;margin:0}"
    "section.amiss{border-left:.4rem solid #a40000;padding-left:1rem}"
)


class Section(Protocol):
    """A section of what was found."""

    title: str
    lines: tuple[str, ...]
    amiss: int


def write_page(machine: Machine, found: Sequence[Section], pictures: Mapping[str, Picture], out: Path) -> Path:
    """Write every picture and ``index.html`` into ``out``; raises KitError where that cannot be done."""
    page = out / "index.html"
    try:
        out.mkdir(parents=True, exist_ok=True)
        for name, picture in pictures.items():
            (out / f"{name}.svg").write_text(picture.svg, encoding="utf-8", newline="\n")
        page.write_text("\n".join(_page(machine, found, pictures)), encoding="utf-8", newline="\n")
    except OSError as reason:
        raise KitError(f"{page} cannot be written ({reason.strerror}).") from None
    return page


def _page(machine: Machine, found: Sequence[Section], pictures: Mapping[str, Picture]) -> Iterator[str]:
    title = escape(f"{machine.title}: checked")
    yield f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
    yield f'<meta name="viewport" content="width=device-width"><style>{STYLE}</style></head><body><h1>{title}</h1>'
    if machine.about:
        yield f"<p>{escape(machine.about)}</p>"
    for one in found:
        text = escape("\n".join(one.lines))
        yield f'<section{" class=amiss" if one.amiss else ""}><h2>{escape(one.title)}</h2><pre>{text}</pre></section>'
    yield "<h2>Drawings</h2>"
    for name, picture in pictures.items():
        words = escape(picture.title)
        yield (
            f'<figure tabindex="0"><figcaption>{words}</figcaption>'
            f'<img src="{name}.svg" alt="{words}" width="{picture.width:g}" height="{picture.height:g}"></figure>'
        )
    yield "</body></html>"
