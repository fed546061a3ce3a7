pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One team's time-outs and substitutions as strokes and figures, to be shown to R1.
Item {
    id: counts

    required property TeamLook team
    property bool mirrored: false

    readonly property NetSizes sizes: Theme.net

    height: 130

    Repeater {
        model: [["time-outs", counts.team.timeOutsText], ["subs", counts.team.substitutionsText]]

        Item {
            id: row

            required property list<string> modelData
            required property int index

            y: row.index * 60
            width: counts.width
            height: 60

            Words {
                mid: 30
                size: counts.sizes.body
                text: counts.team.letter + " " + row.modelData[0]
                color: Theme.dim
            }

            Words {
                x: row.width - width
                mid: 30
                size: counts.sizes.strong
                bold: true
                text: row.modelData[1]
            }

            Tally {
                visible: counts.width > 420
                x: row.width - 130 - width
                y: 21
                used: row.index === 0 ? counts.team.timeOuts : counts.team.substitutions
                allowed: row.index === 0 ? counts.team.timeOutsAllowed : counts.team.substitutionsAllowed
            }
        }
    }
}
