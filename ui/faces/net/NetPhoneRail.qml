pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The phone's rail: set, phase or score, links, the other theme. A post out of reach takes the place of the theme word.
Item {
    id: rail

    required property CourtView court
    property bool scored: false

    signal crewAsked

    readonly property PhoneSizes sizes: Theme.phone
    readonly property real middle: rail.height / 2
    readonly property list<string> reach: rail.court.linksText.split(" of ")
    readonly property bool whole: rail.reach[0] === rail.reach[1]
    readonly property bool few: Number(rail.reach[1]) - Number(rail.reach[0]) < 3

    Words {
        id: set

        x: 20
        mid: rail.middle
        size: rail.sizes.body
        bold: true
        text: "Set " + rail.court.setNumber
    }

    Words {
        x: set.x + set.width + Theme.s5
        visible: rail.scored || rail.whole && ["rally", "dead_ball", "time_out"].includes(rail.court.phase)
        mid: rail.middle
        size: rail.scored ? rail.sizes.strong : rail.sizes.small
        bold: rail.scored
        text: rail.scored ? rail.court.scoreText : rail.court.phaseWord
        color: rail.scored ? Theme.ink : Theme.dim
    }

    // The links lead to the devices of the court; the other theme's word stands beside them.
    Press {
        id: crew

        objectName: "net.rail.crew"
        x: rail.whole ? rail.width - 104 - 42 : rail.width - width
        y: Math.round(rail.middle - height / 2)
        width: rail.whole ? rail.sizes.target : Math.max(rail.sizes.target, rail.few ? lost.width + 40 : 60 + gone.width)
        height: rail.sizes.target
        text: "Devices of this court"
        focusPolicy: Qt.NoFocus
        Accessible.name: crew.text + ". " + rail.court.writer.text
        onActed: rail.crewAsked()
    }

    Item {
        visible: rail.whole || !rail.few
        x: rail.width - width - (rail.whole ? 104 : 20)
        y: Math.round(rail.middle - height / 2)
        width: rail.whole ? 20 : 28 + gone.width
        height: 20
        Accessible.role: Accessible.StaticText
        Accessible.name: rail.court.linksText + " linked"

        Icon {
            path: rail.whole ? Marks.linked : Marks.unlinked
            size: 20
            tone: rail.whole ? Theme.dim : Theme.ink
            weight: rail.whole ? 2 : 3
        }

        Words {
            id: gone

            visible: !rail.whole
            x: 28
            mid: 10
            size: rail.sizes.small
            bold: true
            text: rail.court.linksText
        }
    }

    Row {
        id: lost

        visible: !rail.whole && rail.few
        x: rail.width - width - 20
        y: Math.round(rail.middle - height / 2)
        spacing: Theme.s3

        Repeater {
            model: rail.court.links

            PostLinkMark {
                size: rail.sizes.small
                brief: true
                visible: reach === "late" || reach === "lost"
            }
        }
    }

    ThemeWord {
        objectName: "net.rail.theme"
        visible: rail.whole
        x: rail.width - width
        y: Math.round(rail.middle - height / 2)
        height: rail.sizes.target
        size: rail.sizes.floor
    }

    Rectangle {
        y: rail.height - height
        width: rail.width
        height: Theme.hairline
        color: Theme.hair
    }
}
