pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// One half of the court to scale with the sheet's numbers; a place is a target: tap the one that differs.
Item {
    id: half

    required property NetCheck page

    readonly property NetSizes sizes: Theme.net
    readonly property bool atLeft: half.page.atLeft
    readonly property int floorX: half.atLeft ? 48 : Theme.s3
    readonly property int floorWide: half.width - 48 - Theme.s3
    readonly property list<string> numbers: half.page.sheet.numbersLine.split(" ")

    TeamBand {
        x: half.atLeft ? 0 : half.width - width
        height: half.height
        letter: half.page.team.letter
    }

    Rectangle {
        x: half.floorX
        width: half.floorWide
        height: half.height
        color: Theme.panel
        border {
            width: Theme.outline
            color: Theme.line
        }
    }

    Rectangle {
        x: Math.round(half.floorX + half.floorWide * (half.atLeft ? 2 / 3 : 1 / 3))
        width: Theme.outline
        height: half.height
        color: Theme.line
    }

    Rectangle {
        x: half.atLeft ? half.floorX + half.floorWide - 3 : half.floorX - 3
        y: -Theme.s3
        width: Theme.heavy
        height: half.height + 2 * Theme.s3
        color: Theme.ink
    }

    Repeater {
        model: 6

        NetCheckPlace {
            required property int index

            readonly property bool front: index >= 1 && index <= 3
            readonly property int row: index === 4 || index === 3 ? 0 : index === 5 || index === 2 ? 1 : 2
            readonly property real along: half.floorWide * (front ? 5 / 6 : 1 / 3)
            readonly property real across: half.height * (row + 0.5) / 3

            place: index + 1
            number: half.numbers[index]
            captain: half.numbers[index] === String(half.page.sheet.captain)
            desk: half.page.desk
            width: Math.min(168, half.floorWide / 3 - 16)
            height: Math.floor(half.height / 3) - 16
            x: Math.round((half.atLeft ? half.floorX + along : half.floorX + half.floorWide - along) - width / 2)
            y: Math.round((half.atLeft ? across : half.height - across) - height / 2)
        }
    }
}
