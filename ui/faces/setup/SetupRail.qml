pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The top line of set-up: the program or the court that is open, the device, the network, the other theme's name.
Item {
    id: rail

    required property SetupView setup
    required property CourtView court

    readonly property SetupSizes sizes: Theme.setup
    readonly property real middle: rail.height / 2

    Words {
        id: name

        x: rail.sizes.margin
        mid: rail.middle
        size: rail.sizes.body
        bold: true
        text: rail.setup.opened ? rail.court.courtName : "crewlink"
    }

    Words {
        visible: x + width < network.x - rail.sizes.small - Theme.s5
        x: name.x + name.width + Theme.s5
        mid: rail.middle
        size: rail.sizes.small
        text: rail.setup.deviceText !== "" ? "this device is " + rail.setup.deviceText : ""
        color: Theme.dim
    }

    Icon {
        x: network.x - width - Theme.s2
        y: Math.round(rail.middle - height / 2)
        path: rail.setup.networked ? Marks.linked : Marks.unlinked
        size: rail.sizes.small
        tone: Theme.dim
    }

    Words {
        id: network

        x: theme.x - width - Theme.s4
        mid: rail.middle
        size: rail.sizes.small
        text: rail.setup.networkText
        color: Theme.dim
    }

    ThemeWord {
        id: theme

        objectName: "setup.rail.theme"
        anchors.right: parent.right
        anchors.rightMargin: rail.sizes.margin - Theme.s2
        height: rail.height
        size: rail.sizes.small
    }

    Rectangle {
        y: rail.height - height
        width: rail.width
        height: Theme.hairline
        color: Theme.hair
    }
}
