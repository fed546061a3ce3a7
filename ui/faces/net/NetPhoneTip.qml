pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The program suggests, R2 tells: a frame without hue and one ink pad.
Item {
    id: tip

    required property CourtView court
    required property NetState desk

    readonly property PhoneSizes sizes: Theme.phone

    Rectangle {
        x: tip.sizes.margin
        y: 16
        width: tip.width - 2 * tip.sizes.margin
        height: 300
        color: Theme.ground
        radius: Theme.plateRadius
        border {
            width: Theme.frame
            color: Theme.ink
        }

        Words {
            x: Theme.s5
            bl: 68
            size: tip.sizes.strong
            bold: true
            text: tip.court.suggestion.title
        }

        Words {
            x: Math.round((parent.width - width) / 2)
            bl: 180
            size: tip.sizes.clock
            bold: true
            text: tip.court.scoreText
        }

        Words {
            x: Theme.s5
            y: 216
            width: parent.width - 2 * Theme.s5
            wrapMode: Text.WordWrap
            size: tip.sizes.body
            text: "suggested; your tap tells R1 and the table"
            color: Theme.dim
        }
    }

    Pad {
        objectName: "net.phone.undo"
        visible: tip.court.act.present && tip.court.act.entry !== ""
        x: tip.sizes.margin
        y: 336
        width: tip.width - 2 * tip.sizes.margin
        height: 84
        sizes: tip.sizes
        kind: Pad.Outlined
        path: Marks.undo
        labelSize: tip.sizes.small
        text: tip.court.act.words
        detail: "undo, " + tip.court.act.remaining + " s left"
        onActed: tip.desk.undo()
    }

    Words {
        visible: !tip.court.act.present
        x: tip.sizes.margin
        bl: 372
        size: tip.sizes.body
        text: "Server due"
        color: Theme.dim
    }

    Words {
        visible: !tip.court.act.present
        x: tip.width - width - tip.sizes.margin
        bl: 376
        size: tip.sizes.title
        bold: true
        text: tip.court.serverTeam + " " + tip.court.server
    }

    Pad {
        objectName: "net.answer.tell"
        y: tip.height - height
        width: tip.width
        height: tip.sizes.answerHigh
        sizes: tip.sizes
        kind: Pad.Filled
        centred: true
        path: Marks.flag
        markSize: 72
        labelSize: tip.sizes.title
        text: "Tell all"
        arm: true
        armKey: tip.court.suggestion.proposalId
        onActed: tip.desk.setPoint()
    }
}
