pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One more device for a court that runs: a pad where the devices of the court are shown, and the page that it opens in
// place of the face, below `rail`. A NOW takes the face back.
Item {
    id: adder

    required property SetupView setup
    required property CourtView court
    required property bool offered
    required property FaceSizes sizes
    required property real rail
    required property rect place

    readonly property bool open: adder.setup.adding

    onOpenChanged: {
        if (adder.open)
            page.forceActiveFocus();
    }

    Connections {
        target: adder.court

        function onTopChanged() {
            if (adder.court.top.level === "now")
                adder.setup.stopAdding();
        }
    }

    Pad {
        objectName: "adding.start"
        visible: adder.offered && !adder.open
        x: adder.place.x
        y: adder.place.y
        width: adder.place.width
        height: adder.place.height
        sizes: adder.sizes
        path: Marks.linked
        text: "Add a device"
        focusPolicy: Qt.NoFocus
        onActed: adder.setup.startAdding()
    }

    FocusScope {
        id: page

        visible: adder.open
        y: adder.rail
        width: adder.width
        height: adder.height - y
        Keys.onEscapePressed: adder.setup.stopAdding()
        Keys.onPressed: event => event.accepted = true

        Rectangle {
            anchors.fill: parent
            color: Theme.ground

            MouseArea {
                anchors.fill: parent
            }
        }

        SetupHere {
            x: Theme.setup.margin
            y: Theme.setup.margin
            width: page.width - 2 * x
            height: back.y - 2 * Theme.setup.margin
            setup: adder.setup
            wide: page.width > page.height
            told: true
        }

        Pad {
            id: back

            objectName: "adding.back"
            x: Theme.setup.margin
            y: page.height - height - Theme.s4
            width: 240
            height: Theme.setup.target
            sizes: Theme.setup
            kind: Pad.Outlined
            path: Marks.leftward
            text: "Back"
            onActed: adder.setup.stopAdding()
        }
    }
}
