pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What a team may ask for at the dead ball, where the teams stand: time-out at the outside, substitution beside it.
// In a time-out only the substitutions are left.
Item {
    id: row

    required property CourtView court
    required property NetState desk

    readonly property NetSizes sizes: Theme.net
    readonly property bool still: row.court.phase === "dead_ball"
    readonly property bool tight: row.width < 900
    readonly property int half: Math.floor((row.width - row.sizes.gap) / 2)
    readonly property int pause: row.still ? (row.tight ? 136 : 190) : -row.sizes.gap

    Repeater {
        model: [row.court.leftTeam, row.court.rightTeam]

        Item {
            id: side

            required property TeamLook modelData
            required property int index

            readonly property bool atLeft: side.index === 0

            x: side.atLeft ? 0 : row.width - width
            width: row.half
            height: row.height

            Pad {
                objectName: "net.tray.timeOut" + side.modelData.letter
                visible: row.still
                enabled: side.modelData.timeOuts < side.modelData.timeOutsAllowed
                x: side.atLeft ? 0 : side.width - width
                width: Math.max(0, row.pause)
                height: side.height
                sizes: row.sizes
                inset: row.tight ? Theme.s3 : Theme.s4
                labelSize: row.sizes.small
                path: row.tight ? "" : Marks.timeout
                text: "Time-out " + side.modelData.letter
                onActed: row.desk.timeOut(side.modelData.letter)
            }

            Pad {
                objectName: "net.tray.sub" + side.modelData.letter
                x: side.atLeft ? side.width - width : 0
                width: side.width - row.pause - row.sizes.gap
                height: side.height
                sizes: row.sizes
                inset: row.tight ? Theme.s3 : Theme.s4
                labelSize: row.still ? row.sizes.small : row.sizes.body
                markSize: row.tight ? 28 : row.sizes.mark
                path: Marks.sub
                text: "Substitution " + side.modelData.letter
                onActed: row.desk.open("subs")
            }
        }
    }
}
