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
    readonly property ProposalLook proposal: row.court.proposal
    readonly property bool decides: !row.refused && !row.undoing && row.proposal.present && row.proposal.saidText === "" && (row.proposal.mine || !row.proposal.older)
    readonly property bool plated: !row.refused && !row.decides && row.notice.present
    readonly property bool ends: row.plated && !row.undoing && row.notice.told === "" && row.court.plates.ending.present
    readonly property bool chained: !row.refused && !row.undoing && !row.decides && !row.plated && row.court.ready.state === "held" && row.court.phase !== "time_out"

    function consent(agrees: bool): void {
        if (row.proposal.mine)
            row.court.tell.consent(row.proposal.proposalId, agrees);
        else
            row.court.tell.consentFor(row.proposal.proposalId, agrees, row.proposal.asks);
    }

    Words {
        visible: row.decides
        size: row.proposal.older ? row.sizes.floor : row.sizes.small
        bold: true
        text: row.proposal.older ? "Old line: " + row.proposal.before + " becomes " + row.proposal.after : row.proposal.asks + " decides: " + row.proposal.after
    }

    Repeater {
        model: row.decides ? [true, false] : []

        Pad {
            required property bool modelData

            objectName: modelData ? "net.decision.agree" : "net.decision.no"
            x: modelData ? 0 : row.width - width
            y: 24
            width: Math.floor((row.width - row.sizes.gap) / 2)
            height: 68
            sizes: row.sizes
            inset: Theme.s3
            labelSize: row.sizes.small
            text: row.proposal.mine ? (modelData ? "Agree" : "No") : row.proposal.asks + (modelData ? " agrees" : " says no")
            detail: row.proposal.mine ? "" : "by sign"
            arm: true
            armKey: row.proposal.proposalId
            onActed: row.consent(modelData)
        }
    }

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
        width: row.undoing || row.ends ? row.width - 110 : row.width
        height: row.height

        Words {
            id: said

            width: parent.width
            wrapMode: Text.WordWrap
            size: row.notice.told !== "" && !row.undoing ? row.sizes.body : row.sizes.small
            bold: true
            text: row.undoing && row.act.way === "line" ? row.act.words : row.notice.told !== "" ? row.notice.told : (row.notice.state === "withdrawn" ? "Taken back: " : row.notice.state === "answered" ? "Answered: " : row.notice.levelWord + " ") + row.notice.title
        }

        ReceiptRow {
            visible: row.plated && !row.ends && row.notice.told === "" && !(row.undoing && row.act.way === "line")
            y: 40
            model: row.notice.receipts
            size: row.sizes.floor
            shortened: true
        }
    }

    NetEndsPad {
        visible: row.ends
        width: 102
        height: 76
        sizes: row.sizes
        court: row.court
        desk: row.desk
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
        kind: Pad.Filled
        centred: true
        path: Marks.answered
        text: row.court.duties.checkDue !== "" ? "Positions fit" : "I am ready"
        detail: row.court.ready.reason
        arm: true
        onActed: row.desk.sayReady()
    }

    Words {
        visible: row.chained && row.court.ready.r2Done
        width: row.width
        wrapMode: Text.WordWrap
        size: row.sizes.body
        text: "You are ready. " + row.court.ready.sentence
    }

    NetPhoneCounts {
        visible: !row.refused && !row.undoing && !row.decides && !row.plated && !row.chained && row.desk.playing
        width: row.width
        court: row.court
    }
}
