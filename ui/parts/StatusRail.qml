pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The top line of a face: court, set and event; phase and its age in the middle; who is linked, what is saved, and
// the other theme's name, which goes to it.
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

        x: Math.round(rail.width / 2 - (width + Theme.s3 + tail.width) / 2)
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

    Row {
        x: theme.x - width - Theme.s4
        y: Math.round(rail.middle - height / 2)
        spacing: Theme.s5

        Repeater {
            model: rail.view.links

            PostLinkMark {
                size: rail.textSize
            }
        }

        Item {
            visible: rail.withSaved
            implicitWidth: saved.x + saved.implicitWidth
            implicitHeight: rail.textSize

            Icon {
                path: rail.view.savedText === "saving" ? Marks.wait : Marks.answered
                size: rail.textSize
                tone: Theme.dim
            }

            Words {
                id: saved

                x: rail.textSize + Theme.s2
                mid: parent.height / 2
                size: rail.textSize
                text: rail.view.savedText
                color: Theme.dim
            }
        }
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
