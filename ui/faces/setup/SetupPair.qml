pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A question with the two teams as its answers.
Item {
    id: pair

    required property string title
    required property string name
    required property CourtView court
    property string chosen: ""

    readonly property SetupSizes sizes: Theme.setup

    signal picked(string letter)

    implicitHeight: 44 + 2 * 84 + pair.sizes.gap

    Words {
        bl: 28
        size: pair.sizes.strong
        bold: true
        text: pair.title
    }

    Repeater {
        model: [pair.court.teamA, pair.court.teamB]

        Pad {
            id: answer

            required property TeamLook modelData
            required property int index

            objectName: pair.name + "." + answer.modelData.letter
            y: 44 + answer.index * (84 + pair.sizes.gap)
            width: pair.width
            height: 84
            sizes: pair.sizes
            kind: pair.chosen === answer.modelData.letter ? Pad.Filled : Pad.Raised
            text: answer.modelData.letter + "  " + answer.modelData.name
            onActed: pair.picked(answer.modelData.letter)
        }
    }
}
