pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A decision that waits for R1, in one row: what would be written, and two pads if R1 gives it by sign.
Item {
    id: decision

    required property CourtView court

    readonly property NetSizes sizes: Theme.net
    readonly property ProposalLook proposal: decision.court.proposal
    readonly property int padWide: 182

    Words {
        mid: 17
        size: decision.sizes.body
        bold: true
        text: decision.proposal.asks + " decides: " + decision.proposal.after
    }

    Words {
        mid: 48
        size: decision.sizes.small
        text: "was " + decision.proposal.before + ", then " + decision.proposal.nextServer + " serves"
        color: Theme.dim
    }

    Repeater {
        model: [true, false]

        Pad {
            required property bool modelData

            objectName: modelData ? "net.decision.agree" : "net.decision.no"
            x: decision.width - width - (modelData ? width + decision.sizes.gap : 0)
            width: decision.padWide
            height: decision.height
            sizes: decision.sizes
            inset: Theme.s4
            text: decision.proposal.asks + (modelData ? " agrees" : " says no")
            detail: "by sign"
            onActed: decision.court.tell.consentFor(decision.proposal.proposalId, modelData, decision.proposal.asks)
        }
    }
}
