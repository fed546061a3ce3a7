"""Draw the gallery: `python -m tests.gallery [--face table] [--state x]` writes build/gallery/index.html."""

from __future__ import annotations

import argparse
import os
from dataclasses import dataclass
from html import escape
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("QT_QUICK_BACKEND", "software")

from tests.gallery.scene import Scene, built_faces, scenes
from ui.bridge.submit import Command
from ui.face import SHAPES, Face
from ui.stage import Stage, ThemeName, ready_application

OUT = Path(__file__).resolve().parents[2] / "build" / "gallery"


@dataclass(frozen=True, slots=True)
class Accepted:
    """The answer of a station that takes everything."""

    refusal: None = None


def accept(command: Command) -> Accepted:
    """A station that takes everything."""
    return Accepted()


def draw(
    face: Face, name: str, scene: Scene, theme: ThemeName, size: tuple[int, int]
) -> tuple[Path, list[str]]:
    """Draw one picture; gives its file and what the engine warned of."""
    application = ready_application()
    taken = scene.snapshot.taken
    with Stage(
        face,
        scene.snapshot,
        accept,
        theme=theme,
        size=size,
        now=lambda: taken,
        ask=scene.ask,
        board=scene.board,
        setup=scene.setup(lambda: taken),
        save_incidents=lambda _told: None,
    ) as stage:
        stage.show()
        application.processEvents()
        if scene.act is not None:
            scene.act(stage)
            application.processEvents()
        file = OUT / f"{face}_{name}_{size[0]}x{size[1]}_{theme}.png"
        stage.picture().save(str(file))
        return file, list(stage.warnings)


def index(pictures: list[Path]) -> str:
    """A page that shows all pictures."""
    figures = "\n".join(
        f'<figure><img src="{escape(file.name)}" alt=""><figcaption>{escape(file.stem)}</figcaption></figure>'
        for file in pictures
    )
    return f'<!doctype html><meta charset="utf-8"><title>crewlink gallery</title>\n{figures}\n'


def main() -> int:
    """Exit status 1 if a face warned."""
    parser = argparse.ArgumentParser(prog="python -m tests.gallery", description=__doc__)
    parser.add_argument("--face", choices=[str(face) for face in built_faces()])
    parser.add_argument("--state")
    chosen = parser.parse_args()
    OUT.mkdir(parents=True, exist_ok=True)
    pictures: list[Path] = []
    warned: list[str] = []
    for face in built_faces():
        if chosen.face not in (None, face):
            continue
        for name, scene in scenes(face).items():
            if chosen.state not in (None, name):
                continue
            for theme in ThemeName:
                for size in SHAPES[face].sizes:
                    file, warnings = draw(face, name, scene, theme, size)
                    pictures.append(file)
                    warned += [f"{file.name}: {warning}" for warning in warnings]
    (OUT / "index.html").write_text(index(sorted(OUT.glob("*.png"))))
    print(f"{len(pictures)} pictures in {OUT.relative_to(Path.cwd())}")
    print("\n".join(warned), end="\n" if warned else "")
    return 1 if warned else 0


if __name__ == "__main__":
    raise SystemExit(main())
