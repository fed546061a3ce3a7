pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The top line of a face: court, set and event; phase and its age in the middle; who is linked and writes, what is
// saved or still to come, which lead to the devices of the court; and the other theme's name, which goes to it.
Item {
    id: rail

    required property CourtView view
    required property FaceSizes sizes
    required property string faceName
    property string second: rail.view.eventName
    property string phaseWord: rail.view.phaseWord
    property string phaseTail: rail.view.phaseAgeText
    property int strongSize: rail.sizes.body
    property int textSize: rail.sizes.small
    property bool withSaved: true
    property bool withHair: true

    signal crewAsked

    readonly property real middle: rail.height / 2

    implicitHeight: rail.sizes.rail

    Words {
        id: court

        x: rail.sizes.margin
        mid: rail.middle
        size: rail.strongSize
        bold: true
        text: rail.view.courtName
    }

    Words {
        id: set

        x: court.x + court.width + Theme.s5
        mid: rail.middle
        size: rail.strongSize
        bold: true
        text: "Set " + rail.view.setNumber
    }

    Words {
        x: set.x + set.width + Theme.s5
        mid: rail.middle
        size: rail.textSize
        text: rail.second
        width: Math.max(0, Math.min(implicitWidth, phase.x - x - Theme.s4))
        elide: Text.ElideRight
        color: Theme.dim
    }

    Words {
        id: phase

        readonly property real whole: width + Theme.s3 + tail.width

        x: Math.round(Math.min(rail.width / 2 - whole / 2, crew.x - Theme.s4 - whole))
        mid: rail.middle
        size: rail.strongSize
        bold: true
        text: rail.phaseWord
    }

    Words {
        id: tail

        x: phase.x + phase.width + Theme.s3
        mid: rail.middle
        size: rail.strongSize
        text: rail.phaseTail
        color: Theme.dim
    }

    RailCrew {
        id: crew

        objectName: rail.faceName + ".rail.crew"
        x: theme.x - width - Theme.s2
        y: Math.round(rail.middle - height / 2)
        height: Math.min(rail.height, Math.max(44, rail.sizes.target))
        view: rail.view
        size: rail.textSize
        withSaved: rail.withSaved
        onActed: rail.crewAsked()
    }

    ThemeWord {
        id: theme

        objectName: rail.faceName + ".rail.theme"
        anchors.right: parent.right
        anchors.rightMargin: rail.sizes.margin - Theme.s2
        y: Math.round(rail.middle - height / 2)
        height: Math.min(rail.height, Math.max(44, rail.sizes.target))
        size: rail.textSize
    }

    Rectangle {
        visible: rail.withHair
        y: rail.height - height
        width: rail.width
        height: Theme.hairline
        color: Theme.hair
    }
}
