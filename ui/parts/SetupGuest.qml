pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A device that was in a crew with this one: one press asks it to come, without a code. Old keys are taken out.
Press {
    id: row

    required property string device
    required property string title
    required property string detail
    required property string act
    required property bool live

    readonly property SetupSizes sizes: Theme.setup

    signal asked(string device)

    objectName: "setup.here.guest"
    implicitHeight: 72
    enabled: row.live
    text: row.title
    Accessible.name: row.title + ", " + row.detail + (row.act !== "" ? ", " + row.act : "")
    onActed: row.asked(row.device)

    background: Rectangle {
        radius: row.enabled ? Theme.padRadius : 0
        color: row.enabled ? Theme.raised : Theme.clear
        border {
            width: row.pressed ? Theme.frame : row.enabled && Theme.bright ? Theme.outline : 0
            color: row.pressed ? Theme.ink : Theme.line
        }
    }

    contentItem: Item {
        Words {
            x: Theme.s4
            bl: 32
            width: act.x - x - Theme.s3
            elide: Text.ElideRight
            size: row.sizes.body
            bold: true
            text: row.title
        }

        Words {
            x: Theme.s4
            bl: 58
            width: act.x - x - Theme.s3
            elide: Text.ElideRight
            size: row.sizes.small
            text: row.detail
            color: Theme.dim
        }

        Words {
            id: act

            x: parent.width - width - Theme.s4
            mid: parent.height / 2
            size: row.sizes.small
            bold: true
            text: row.act
        }
    }
}
