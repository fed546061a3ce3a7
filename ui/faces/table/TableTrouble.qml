pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// This device can't save: what, where, what to do. An ink frame, no hue; it stands until the disk works again.
Rectangle {
    id: trouble

    required property string sentence

    color: Theme.ground
    radius: Theme.plateRadius
    border {
        width: Theme.frame
        color: Theme.ink
    }
    Accessible.role: Accessible.AlertMessage
    Accessible.name: "Nothing new is saved here. " + trouble.sentence

    Icon {
        x: 20
        y: 20
        path: Marks.cross
        size: Theme.table.mark
        weight: 3
    }

    Words {
        x: 20 + Theme.table.mark + Theme.s4
        mid: 34
        size: Theme.table.strong
        bold: true
        text: "Nothing new is saved here"
    }

    Words {
        objectName: "table.trouble"
        x: 20
        y: 62
        width: trouble.width - 40
        wrapMode: Text.Wrap
        size: Theme.table.small
        text: trouble.sentence
    }
}
