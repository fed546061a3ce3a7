pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A line on the wrist, set by its baseline at the left, at the right or in the middle, inside the rim of a round face.
Words {
    id: line

    required property WristShape shape
    required property real footing
    property string end: line.shape.round ? "middle" : "left"

    readonly property real side: line.shape.inset(line.footing - line.capital * line.size, line.footing)

    x: Math.round(line.end === "left" ? line.side : line.end === "right" ? line.shape.wide - line.side - line.width : (line.shape.wide - line.width) / 2)
    bl: line.footing
}
