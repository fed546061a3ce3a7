pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The first page: open or join a court, the courts this device knows, and how its person likes the program.
Item {
    id: home

    required property SetupView setup
    required property bool wide

    readonly property SetupSizes sizes: Theme.setup
    readonly property int shown: home.wide ? 4 : 6
    readonly property real column: home.wide ? 480 : home.width

    Words {
        id: title

        bl: 40
        size: home.sizes.title
        bold: true
        text: "Link your crew"
    }

    Column {
        id: ways

        y: 76
        width: home.column
        spacing: home.sizes.gap

        Pad {
            objectName: "setup.home.open"
            width: parent.width
            height: 112
            sizes: home.sizes
            labelSize: home.sizes.strong
            kind: Pad.Filled
            text: "Open a court"
            detail: "here first, then the others join"
            onActed: home.setup.startOpening()
        }

        Pad {
            objectName: "setup.home.join"
            width: parent.width
            height: 112
            sizes: home.sizes
            labelSize: home.sizes.strong
            text: "Join a court"
            detail: "with the code from another device"
            onActed: home.setup.startJoining()
        }
    }

    Item {
        x: home.wide ? home.column + 2 * home.sizes.margin : 0
        y: home.wide ? 0 : ways.y + ways.height + 2 * home.sizes.margin
        width: home.width - x
        height: choices.y - y - home.sizes.margin

        Words {
            id: knownTitle

            bl: home.wide ? 40 : 30
            size: home.sizes.strong
            bold: true
            text: "Courts on this device"
        }

        Words {
            visible: home.setup.knownCount === 0
            y: 76
            size: home.sizes.body
            text: "None yet."
            color: Theme.dim
        }

        Column {
            y: home.wide ? 76 : 52
            width: parent.width
            spacing: Theme.s2

            Repeater {
                model: home.setup.known

                SetupKnown {
                    required property int index

                    width: parent.width
                    visible: index < home.shown
                    onAsked: folder => home.setup.resume(folder)
                }
            }
        }
    }

    SetupChoices {
        id: choices

        y: parent.height - height
        width: parent.width
        setup: home.setup
        wide: home.wide
    }
}
