pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Both teams' time-outs and substitutions in a line each; over them that the courts were changed.
Item {
    id: counts

    required property CourtView court

    readonly property PhoneSizes sizes: Theme.phone

    Words {
        visible: counts.court.courtsChanged
        x: Math.round((counts.width - width) / 2)
        mid: 10
        size: counts.sizes.small
        bold: true
        text: "Courts changed"
    }

    Repeater {
        model: [["time-outs", counts.court.leftTeam.timeOutsText, counts.court.rightTeam.timeOutsText], ["subs", counts.court.leftTeam.substitutionsText, counts.court.rightTeam.substitutionsText]]

        Item {
            id: line

            required property list<string> modelData
            required property int index

            y: (counts.court.courtsChanged ? 26 : 10) + line.index * 38
            width: counts.width

            Words {
                mid: 16
                size: counts.sizes.body
                bold: true
                text: line.modelData[1]
            }

            Words {
                x: Math.round((line.width - width) / 2)
                mid: 16
                size: counts.sizes.small
                text: line.modelData[0]
                color: Theme.dim
            }

            Words {
                x: line.width - width
                mid: 16
                size: counts.sizes.body
                bold: true
                text: line.modelData[2]
            }
        }
    }
}
