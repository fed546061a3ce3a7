pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// The one pad of a calm wrist: it opens what R1 can tell the crew.
WristPad {
    id: pad

    objectName: "wrist.calm.tell"
    x: pad.round ? 0 : Theme.wrist.margin
    y: pad.shape.tellTop
    width: pad.shape.wide - 2 * pad.x
    height: pad.shape.tellHigh
    text: "Tell"
    path: Marks.report
    middle: 0.4
}
