pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A suggested decision: what would be written, what it was, who serves then; Agree or No. No hue, nothing set before.
Item {
    id: page

    required property CourtView court
    required property WristShape shape

    readonly property GlanceLook glance: page.court.glance
    readonly property WristSizes sizes: Theme.wrist
    readonly property bool round: page.shape.round
    readonly property int scoreLine: page.round ? 150 : 168
    readonly property int gap: page.round ? Theme.s5 : Theme.s3
    readonly property int scoreSize: page.round ? page.sizes.title : page.sizes.proposal

    WristWords {
        shape: page.shape
        footing: page.round ? 58 : 40
        size: page.sizes.small
        text: page.glance.decisionOlder ? (page.round ? "Old line" : page.glance.decisionShort) : page.round ? "Suggested" : "Suggested decision"
        color: Theme.dim
    }

    WristWords {
        shape: page.shape
        footing: page.round ? 91 : 82
        size: page.round ? page.sizes.small : page.sizes.body
        bold: true
        text: page.glance.decisionOlder ? (page.round ? page.glance.decisionShort : page.glance.decisionLine) : page.glance.decisionTitle
    }

    Rectangle {
        x: Math.round((page.width - width) / 2)
        y: page.scoreLine - page.scoreSize * 0.76
        width: Theme.heavy
        height: page.scoreSize * 0.8
        color: Theme.ink
    }

    Repeater {
        model: [page.court.leftTeam, page.court.rightTeam]

        Item {
            id: half

            required property TeamLook modelData
            required property int index

            readonly property bool atLeft: half.index === 0
            readonly property int side: page.round ? 64 : Theme.s5

            Words {
                x: half.atLeft ? half.side : page.width - half.side - width
                bl: page.scoreLine - (page.scoreSize - page.sizes.strong) * 0.36
                size: page.sizes.strong
                bold: true
                text: half.modelData.letter
            }

            Words {
                objectName: "wrist.decide." + half.modelData.letter
                x: half.atLeft ? page.width / 2 - page.gap - width : page.width / 2 + page.gap
                bl: page.scoreLine
                size: page.scoreSize
                bold: true
                text: half.atLeft ? page.glance.decisionLeft : page.glance.decisionRight
            }
        }
    }

    WristWords {
        shape: page.shape
        footing: page.round ? 188 : 212
        end: "left"
        size: page.sizes.small
        text: "was " + page.glance.decisionBefore
        color: Theme.dim
    }

    WristWords {
        shape: page.shape
        footing: page.round ? 188 : 212
        end: "right"
        size: page.sizes.small
        bold: true
        text: page.glance.decisionServer + " serves"
    }

    WristPad {
        objectName: "wrist.decide.agree"
        y: page.round ? 200 : 232
        width: page.width
        height: page.sizes.target
        shape: page.shape
        text: "Agree"
        path: Marks.answered
        kind: Pad.Filled
        arm: true
        armKey: page.glance.decisionId
        onActed: page.court.tell.consent(page.glance.decisionId, true)
    }

    WristPad {
        objectName: "wrist.decide.no"
        y: page.round ? 330 : 364
        width: page.width
        height: page.sizes.target
        shape: page.shape
        text: "No"
        path: Marks.cross
        middle: 0.4
        arm: true
        armKey: page.glance.decisionId
        onActed: page.court.tell.consent(page.glance.decisionId, false)
    }
}
