pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Which team is meant: the two halves of the court as R1 sees them.
Item {
    id: page

    required property CourtView court
    required property WristShape shape
    required property int remaining

    readonly property bool round: page.shape.round
    readonly property int firstY: page.round ? 84 : 70
    readonly property int low: page.round ? page.height : page.height - Theme.wrist.margin

    signal chosen(team: string)

    WristWords {
        shape: page.shape
        footing: page.round ? 66 : 48
        size: page.round ? Theme.wrist.small : Theme.wrist.body
        bold: true
        text: "Which team?"
    }

    Words {
        visible: !page.round
        x: parent.width - Theme.s5 - width
        bl: 48
        size: Theme.wrist.small
        text: page.remaining + " s"
        color: Theme.dim
    }

    Repeater {
        model: [page.court.leftTeam, page.court.rightTeam]

        WristPad {
            id: pad

            required property TeamLook modelData
            required property int index

            readonly property bool atLeft: pad.index === 0
            readonly property real outer: page.round ? 0 : Theme.wrist.margin

            objectName: "wrist.half." + pad.modelData.letter
            x: pad.atLeft ? pad.outer : page.width / 2 + Theme.wrist.gap / 2
            y: page.firstY
            width: (page.width - Theme.wrist.gap) / 2 - pad.outer
            height: page.low - page.firstY
            shape: page.shape
            text: pad.modelData.letter
            labelSize: Theme.wrist.figure
            middle: 0.4
            arm: true
            onActed: page.chosen(pad.modelData.letter)

            TeamBand {
                visible: !page.round
                x: pad.atLeft ? 0 : parent.width - width
                width: Theme.bandWidth
                height: parent.height
                letter: pad.modelData.letter
            }

            RoundBand {
                visible: page.round
                x: pad.atLeft ? 0 : -pad.x
                y: -pad.y
                width: page.width
                height: page.height
                letter: pad.modelData.letter
                atLeft: pad.atLeft
                radius: page.shape.radius
            }
        }
    }
}
