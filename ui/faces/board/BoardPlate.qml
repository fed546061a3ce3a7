pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// The body of a plate on the board: NOW filled, SOON with its third on top, NOTE with its edge; outlined in ink.
Item {
    id: plate

    required property string level
    required property int headHigh
    property bool pulsing: false
    property bool lit: false

    readonly property bool full: plate.level === "now"
    readonly property bool edged: plate.level === "note"
    readonly property int corner: plate.edged ? Theme.noteRadius : Theme.plateRadius
    readonly property bool beating: plate.pulsing && !Theme.reducedMotion

    Accessible.ignored: true

    Rectangle {
        anchors.fill: parent
        radius: plate.corner
        color: plate.full ? Theme.now : plate.edged ? Theme.note : Theme.panel
    }

    Rectangle {
        visible: plate.edged
        x: Theme.noteEdge
        width: plate.width - Theme.noteEdge
        height: plate.height
        topRightRadius: Theme.noteRadius
        bottomRightRadius: Theme.noteRadius
        color: Theme.panel
    }

    Rectangle {
        visible: plate.level === "soon"
        width: plate.width
        height: plate.headHigh
        color: Theme.soon

        Rectangle {
            y: parent.height - height
            width: parent.width
            height: Theme.outline
            color: Theme.ink
        }
    }

    Rectangle {
        anchors.fill: parent
        radius: plate.corner
        color: Theme.clear
        border {
            width: plate.full ? Theme.heavy : Theme.outline
            color: plate.beating && !plate.lit ? Theme.now : Theme.ink
        }
    }
}
