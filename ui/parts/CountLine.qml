pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A label and its value on one baseline: label dim, value bold. `spread` sets them at the two ends of the width,
// else the value follows the label; `mirrored` puts the whole at the right end.
Item {
    id: line

    required property string label
    required property string value
    required property int labelSize
    property int valueSize: line.labelSize
    property bool spread: false
    property bool mirrored: false
    property real bl: -1

    readonly property real wide: label.implicitWidth + line.between + value.implicitWidth
    readonly property int between: line.label !== "" && line.value !== "" ? Theme.s2 : 0

    implicitWidth: line.wide
    implicitHeight: Math.round(line.valueSize * 1.3)
    y: line.bl >= 0 ? Math.round(line.bl - value.y - value.baselineOffset) : 0
    Accessible.role: Accessible.StaticText
    Accessible.name: line.label + " " + line.value

    Words {
        id: label

        x: line.mirrored && !line.spread ? line.width - line.wide : 0
        bl: value.y + value.baselineOffset
        size: line.labelSize
        text: line.label
        color: Theme.dim
    }

    Words {
        id: value

        x: line.spread || line.mirrored ? line.width - implicitWidth : label.implicitWidth + line.between
        mid: line.height / 2
        size: line.valueSize
        bold: true
        text: line.value
    }
}
