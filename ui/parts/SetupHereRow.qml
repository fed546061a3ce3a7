pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A job of this court: who holds it, or nobody yet. Pressing a free one makes its code.
Press {
    id: row

    required property string post
    required property string job
    required property string reach
    required property string told
    property bool chosen: false

    readonly property SetupSizes sizes: Theme.setup
    readonly property bool free: row.reach === "unfilled"
    readonly property string words: row.chosen && row.free ? "the code brings it in" : row.told

    signal asked(string post)

    objectName: "setup.here." + row.post
    enabled: row.free
    text: row.job
    Accessible.name: row.job + ", " + row.words
    onActed: row.asked(row.post)

    background: Rectangle {
        radius: row.enabled && !row.chosen ? Theme.padRadius : 0
        color: row.chosen ? Theme.panel : row.enabled ? Theme.raised : Theme.clear
        border {
            width: row.pressed ? Theme.frame : row.enabled && !row.chosen && Theme.bright ? Theme.outline : 0
            color: row.pressed ? Theme.ink : Theme.line
        }

        Rectangle {
            visible: row.chosen
            width: Theme.heavy
            height: parent.height
            color: Theme.ink
        }

        Rectangle {
            visible: !row.enabled || row.chosen
            y: parent.height - height
            width: parent.width
            height: Theme.hairline
            color: Theme.hair
        }
    }

    contentItem: Item {
        Icon {
            x: Theme.s4
            y: Math.round((parent.height - height) / 2)
            path: row.reach === "here" ? Marks.answered : row.free ? Marks.wait : row.reach === "linked" ? Marks.linked : Marks.unlinked
            size: 24
            tone: row.chosen ? Theme.ink : Theme.dim
        }

        Words {
            x: 60
            bl: 32
            size: row.sizes.body
            bold: row.chosen
            text: row.text
        }

        Words {
            visible: row.enabled && !row.chosen
            x: parent.width - width - Theme.s4
            mid: parent.height / 2
            size: row.sizes.small
            bold: true
            text: "Code"
        }

        Words {
            x: 60
            bl: 58
            size: row.sizes.small
            text: row.words
            color: Theme.dim
        }
    }
}
