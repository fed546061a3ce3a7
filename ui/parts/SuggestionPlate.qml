pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// What the program suggests to one post alone: 4 px ink frame, no hue, never mistaken for a notice. The pad beside
// it is ink-filled (Pad.Filled).
Rectangle {
    id: plate

    required property FaceSizes sizes
    required property string title
    property string value: ""
    property string detail: ""
    property string path: Marks.flag
    property int titleSize: plate.sizes.title

    color: Theme.ground
    radius: Theme.plateRadius
    border {
        width: Theme.frame
        color: Theme.ink
    }
    Accessible.role: Accessible.StaticText
    Accessible.name: "Suggested. " + plate.title + " " + plate.value + ". " + plate.detail

    Icon {
        id: mark

        x: Theme.s5
        y: Math.round(plate.height * 0.36 - height / 2)
        path: plate.path
        size: plate.sizes.mark
    }

    Words {
        id: head

        x: mark.x + mark.width + Theme.s4
        mid: plate.height * 0.36
        size: plate.titleSize
        bold: true
        text: plate.title
    }

    Words {
        x: plate.width - Theme.s5 - width
        mid: plate.height * 0.36
        size: plate.titleSize
        bold: true
        text: plate.value
    }

    Words {
        x: head.x
        mid: plate.height * 0.76
        size: plate.sizes.body
        text: plate.detail
        color: Theme.dim
    }
}
