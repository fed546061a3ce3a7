pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One row over the phone's pads: why something was not done, what can be undone, who has the own notice, or "I am
// ready"; at rest both teams' counts.
Item {
    id: row

    required property CourtView court
    required property NetState desk

    readonly property PhoneSizes sizes: Theme.phone
    readonly property ActLook act: row.court.act
    readonly property NoticeLook notice: row.court.plates.shown
    readonly property bool refused: row.court.refusal.present
    readonly property bool undoing: !row.refused && row.act.present && (row.act.entry !== "" || row.court.plates.own.present)
    readonly property bool plated: !row.refused && row.notice.present
    readonly property bool chained: !row.refused && !row.undoing && !row.plated && row.court.ready.state === "held"

    Words {
        visible: row.refused
        width: row.width
        wrapMode: Text.WordWrap
        size: row.sizes.small
        bold: true
        text: row.court.refusal.sentence
    }

    Item {
        visible: row.plated || row.undoing
        width: row.undoing ? row.width - 110 : row.width
        height: row.height

        Words {
            id: said

            width: parent.width
            wrapMode: Text.WordWrap
            size: row.sizes.small
            bold: true
            text: row.undoing && row.act.way === "line" ? row.act.words : row.notice.told !== "" ? row.notice.told : (row.notice.state === "withdrawn" ? "Taken back: " : row.notice.levelWord + " ") + row.notice.title
        }

        ReceiptRow {
            visible: row.plated && row.notice.told === "" && !(row.undoing && row.act.way === "line")
            y: 40
            model: row.notice.receipts
            size: row.sizes.floor
            shortened: true
        }
    }

    Pad {
        objectName: "net.phone.undo"
        visible: row.undoing
        x: row.width - width
        width: 102
        height: 76
        sizes: row.sizes
        inset: Theme.s3
        kind: Pad.Outlined
        labelSize: row.sizes.small
        text: "Undo"
        detail: row.act.remaining + " s"
        onActed: row.desk.undo()
    }

    Pad {
        objectName: "net.phone.ready"
        visible: row.chained && !row.court.ready.r2Done
        width: row.width
        height: 84
        sizes: row.sizes
        centred: true
        path: Marks.answered
        text: "I am ready"
        detail: row.court.ready.sentence
        arm: true
        onActed: row.court.tell.ready()
    }

    Words {
        visible: row.chained && row.court.ready.r2Done
        width: row.width
        wrapMode: Text.WordWrap
        size: row.sizes.body
        text: row.court.ready.sentence
    }

    Words {
        visible: row.court.courtsChanged && counts.count > 0
        x: Math.round((row.width - width) / 2)
        mid: 10
        size: row.sizes.small
        bold: true
        text: "Courts changed"
    }

    Repeater {
        id: counts

        model: row.refused || row.undoing || row.plated || row.chained || !row.desk.playing ? [] : [["time-outs", row.court.leftTeam.timeOutsText, row.court.rightTeam.timeOutsText], ["subs", row.court.leftTeam.substitutionsText, row.court.rightTeam.substitutionsText]]

        Item {
            id: line

            required property list<string> modelData
            required property int index

            y: (row.court.courtsChanged ? 26 : 10) + line.index * 38
            width: row.width

            Words {
                mid: 16
                size: row.sizes.body
                bold: true
                text: line.modelData[1]
            }

            Words {
                x: Math.round((line.width - width) / 2)
                mid: 16
                size: row.sizes.small
                text: line.modelData[0]
                color: Theme.dim
            }

            Words {
                x: line.width - width
                mid: 16
                size: row.sizes.body
                bold: true
                text: line.modelData[2]
            }
        }
    }
}
