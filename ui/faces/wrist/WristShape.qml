pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// What the watch window is: an upright one, or a round one (as wide as high). Says how far from the side a text may
// begin, so that it keeps 20 px from the rim of a round one.
QtObject {
    id: shape

    required property real wide
    required property real high

    readonly property bool round: shape.wide === shape.high
    readonly property real radius: shape.wide / 2
    readonly property int plateHigh: Theme.wrist.plateHigh
    readonly property int padTop: shape.plateHigh + Theme.wrist.gap
    readonly property int tellTop: shape.round ? Theme.wrist.roundChord : shape.high - Theme.wrist.margin - Theme.wrist.tellHigh
    readonly property int tellHigh: shape.round ? shape.high - Theme.wrist.roundChord : Theme.wrist.tellHigh

    // Space at either side of a text whose letters lie between `top` and `bottom`.
    function inset(top: real, bottom: real): real {
        if (!shape.round)
            return Theme.s5;
        const reach = shape.radius - 20;
        const far = Math.max(Math.abs(top - shape.radius), Math.abs(bottom - shape.radius));
        return far >= reach ? shape.radius : Math.ceil(shape.radius - Math.sqrt(reach * reach - far * far));
    }
}
