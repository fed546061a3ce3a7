pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// In a rally nothing asks to be read or tapped: points and server, dim and regular. That play goes on is only presumed
// from time, so a tap anywhere wakes the calm face with its Tell.
Item {
    id: rally

    required property CourtView court
    required property WristShape shape

    signal woken

    readonly property WristSizes sizes: Theme.wrist
    readonly property bool round: rally.shape.round

    Press {
        objectName: "wrist.rally.wake"
        anchors.fill: parent
        focusPolicy: Qt.NoFocus
        Accessible.name: "Wake"
        onActed: rally.woken()
    }

    Rectangle {
        x: Math.round((rally.width - width) / 2)
        y: 40
        width: Theme.outline
        height: rally.height - 80
        color: Theme.hair
    }

    Repeater {
        model: [rally.court.leftTeam, rally.court.rightTeam]

        Item {
            id: half

            required property TeamLook modelData
            required property int index

            readonly property real middle: rally.width * (half.index === 0 ? 0.27 : 0.73)

            Words {
                x: Math.round(half.middle - width / 2)
                bl: rally.round ? 96 : 84
                size: rally.sizes.letter
                text: half.modelData.letter
                color: Theme.off
            }

            Words {
                objectName: "wrist.rally." + half.modelData.letter
                x: Math.round(half.middle - width / 2)
                bl: rally.round ? 216 : 234
                size: rally.sizes.figure
                text: String(half.modelData.points)
                color: Theme.off
            }

            ServerDisc {
                visible: half.modelData.serves && half.modelData.server >= 0
                x: Math.round(half.middle - width / 2)
                y: (rally.round ? 310 : 362) - height / 2
                across: rally.sizes.ring
                size: rally.sizes.due
                number: String(half.modelData.server)
                quiet: true
            }
        }
    }
}
