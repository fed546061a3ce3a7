pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Points of both teams between their bands; under them who serves and who would be next.
Item {
    id: score

    required property CourtView court

    readonly property PhoneSizes sizes: Theme.phone

    Rectangle {
        x: Math.round((score.width - width) / 2)
        width: Theme.outline
        height: score.height
        color: Theme.line
    }

    Repeater {
        model: [score.court.leftTeam, score.court.rightTeam]

        Item {
            id: side

            required property TeamLook modelData
            required property int index

            readonly property real middle: score.width * (side.index === 0 ? 98 / 360 : 262 / 360)
            readonly property bool due: side.modelData.letter === score.court.serverTeam

            TeamBand {
                x: side.index === 0 ? 0 : score.width - width
                height: score.height
                letter: side.modelData.letter
            }

            Words {
                x: Math.round(side.middle - width / 2)
                bl: 40
                size: score.sizes.title
                bold: true
                text: side.modelData.letter
            }

            Words {
                objectName: "net.score." + side.modelData.letter
                x: Math.round(side.middle - width / 2)
                bl: 148
                size: score.sizes.figure
                bold: true
                text: String(side.modelData.points)
            }

            Words {
                x: Math.round(side.middle - width / 2)
                bl: 186
                size: score.sizes.body
                bold: side.due
                text: side.due ? "serves" : score.court.serverTeam !== "" && side.modelData.nextServer >= 0 ? "next " + side.modelData.nextServer : ""
                color: side.due ? Theme.ink : Theme.dim
            }
        }
    }
}
