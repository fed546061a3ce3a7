pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A decision that waits: what would be written. R1's is entered here if R1 gives it by sign; a change of an old line asks
// R2 whether it is right. `roomy`: there is a third line, for who asked and why. `bare`: the pads lie in the answer place.
Item {
    id: decision

    required property CourtView court
    property bool roomy: false
    property bool bare: false

    readonly property NetSizes sizes: Theme.net
    readonly property ProposalLook proposal: decision.court.proposal
    readonly property bool older: decision.proposal.older
    readonly property string change: decision.proposal.before + " becomes " + decision.proposal.after
    readonly property int padWide: decision.older && decision.width < 800 ? 140 : 182
    readonly property string then: decision.proposal.nextServer !== "" ? ", then " + decision.proposal.nextServer + " serves" : ""

    function consent(agrees: bool): void {
        if (decision.proposal.mine)
            decision.court.tell.consent(decision.proposal.proposalId, agrees);
        else
            decision.court.tell.consentFor(decision.proposal.proposalId, agrees, decision.proposal.asks);
    }

    Words {
        mid: 17
        size: decision.bare ? decision.sizes.strong : decision.sizes.body
        bold: true
        text: decision.proposal.saidText !== "" ? decision.proposal.saidText : !decision.older ? decision.proposal.asks + " decides: " + decision.proposal.after : "Old line: " + decision.change
    }

    Words {
        id: second

        y: Math.round((decision.bare ? 54 : 48) - capital * size / 2 - baselineOffset + capital * size)
        width: decision.bare ? decision.width : decision.width - 2 * decision.padWide - 2 * decision.sizes.gap
        wrapMode: Text.WordWrap
        size: decision.bare ? decision.sizes.body : decision.sizes.small
        text: decision.older ? decision.proposal.title : "was " + decision.proposal.before + decision.then
        color: Theme.dim
    }

    Words {
        visible: decision.older && decision.roomy && second.lineCount === 1
        mid: 78
        width: implicitWidth
        size: decision.sizes.small
        text: decision.width > 800 ? decision.proposal.detail : ""
        color: Theme.dim
    }

    Repeater {
        model: decision.proposal.saidText === "" && !decision.bare ? [true, false] : []

        Pad {
            required property bool modelData

            objectName: modelData ? "net.decision.agree" : "net.decision.no"
            x: decision.width - width - (modelData ? width + decision.sizes.gap : 0)
            width: decision.padWide
            height: decision.sizes.target
            sizes: decision.sizes
            inset: Theme.s4
            text: decision.proposal.mine ? (modelData ? "Agree" : "No") : decision.proposal.asks + (modelData ? " agrees" : " says no")
            detail: decision.proposal.mine ? "" : "by sign"
            arm: true
            armKey: decision.proposal.proposalId
            onActed: decision.consent(modelData)
        }
    }
}
