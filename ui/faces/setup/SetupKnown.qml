pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A court this device knows: its name, who plays, the job here. Pressing it goes back to it.
Press {
    id: row

    required property string folder
    required property string title
    required property string detail
    required property string job

    readonly property SetupSizes sizes: Theme.setup

    signal asked(string folder)

    objectName: "setup.home.court"
    implicitHeight: 76
    text: row.title
    Accessible.name: row.title + ", " + row.detail + ", " + row.job
    onActed: row.asked(row.folder)

    background: Rectangle {
        color: Theme.panel
        radius: Theme.padRadius
        border {
            width: row.pressed ? Theme.frame : Theme.bright ? Theme.outline : 0
            color: row.pressed ? Theme.ink : Theme.line
        }
    }

    contentItem: Item {
        Words {
            x: Theme.s4
            bl: 32
            size: row.sizes.body
            bold: true
            text: row.title
        }

        Words {
            x: Theme.s4
            bl: 60
            size: row.sizes.small
            text: row.detail
            color: Theme.dim
        }

        Words {
            x: parent.width - width - Theme.s4
            bl: 32
            size: row.sizes.small
            text: row.job
            color: Theme.dim
        }
    }
}
