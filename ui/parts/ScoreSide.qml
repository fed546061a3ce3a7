pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One team of a score pair: letter and name on top, time-outs and substitutions under it, points beside the net axis.
Item {
    id: side

    required property ScorePair pair
    required property TeamLook team
    required property bool atLeft

    readonly property int text: side.pair.textSize
    readonly property real step: side.pair.upright ? side.text * 1.35 : side.text * 1.4
    readonly property var lines: side.pair.upright ? [["time-outs", ""], ["", side.team.timeOutsText], ["subs", ""], ["", side.team.substitutionsText]] : [["time-outs", side.team.timeOutsText], ["subs", side.team.substitutionsText]]

    Row {
        x: side.atLeft ? 0 : side.width - width
        spacing: side.team.colour === "" ? Theme.s3 : Theme.s1
        layoutDirection: side.atLeft ? Qt.LeftToRight : Qt.RightToLeft

        Words {
            size: side.text + Theme.s1
            bold: true
            text: side.team.letter
        }

        ShirtSquare {
            y: Math.round(side.text * 0.64 - height / 2)
            colour: side.team.colour
        }

        Words {
            bl: side.text
            size: side.text
            text: side.team.name
        }
    }

    Repeater {
        model: side.lines

        CountLine {
            required property list<string> modelData
            required property int index

            x: side.atLeft ? 0 : side.width - width
            bl: side.text + side.step * (index + 1)
            label: modelData[0]
            value: modelData[1]
            labelSize: side.text
            mirrored: !side.atLeft
        }
    }

    Words {
        objectName: "score." + side.team.letter
        x: side.atLeft ? side.width - side.pair.axisGap - implicitWidth : side.pair.axisGap
        mid: side.height * (side.pair.upright ? 0.58 : 0.48)
        size: side.pair.pointsSize
        bold: !side.pair.calm
        text: String(side.team.points)
        color: side.pair.calm ? Theme.off : Theme.ink
        Accessible.role: Accessible.StaticText
        Accessible.name: "Team " + side.team.letter + ", " + side.team.points + " points"
    }
}
