pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A court that can be heard: its number, its name, and the words of its key.
Press {
    id: row

    required property string key
    required property string number
    required property string title
    required property string detail
    required property bool chosen

    readonly property SetupSizes sizes: Theme.setup

    signal asked(string key)

    objectName: "setup.join.court"
    implicitHeight: 80
    text: row.number
    Accessible.name: row.number + ", " + row.title + ", " + row.detail + (row.chosen ? ", chosen" : "")
    onActed: row.asked(row.key)

    background: Rectangle {
        radius: Theme.padRadius
        color: row.chosen ? Theme.ink : Theme.raised
        border {
            width: row.pressed ? Theme.frame : Theme.bright ? Theme.outline : 0
            color: row.pressed ? Theme.ink : Theme.line
        }
    }

    contentItem: Item {
        Words {
            x: Theme.s4
            mid: parent.height / 2
            size: row.sizes.title
            bold: true
            text: row.number
            color: row.chosen ? Theme.ground : Theme.ink
        }

        Words {
            x: 104
            bl: 34
            size: row.sizes.body
            bold: true
            text: row.title
            color: row.chosen ? Theme.ground : Theme.ink
        }

        Words {
            x: 104
            bl: 62
            size: row.sizes.small
            text: row.detail
            color: row.chosen ? Theme.ground : Theme.dim
        }
    }
}
