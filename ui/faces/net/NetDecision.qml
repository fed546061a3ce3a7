pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A decision that waits for R1: what would be written. R2 enters it if R1 gives it by sign.
Item {
    id: decision

    required property CourtView court
    property FaceSizes sizes: Theme.net

    readonly property ProposalLook proposal: decision.court.proposal
    readonly property int padWide: 200

    Rectangle {
        width: decision.width - decision.padWide - Theme.net.gap
        height: decision.height
        color: Theme.ground
        radius: Theme.plateRadius
        border {
            width: Theme.frame
            color: Theme.ink
        }

        Words {
            x: Theme.s5
            mid: 38
            size: decision.sizes.strong
            bold: true
            text: decision.proposal.title
        }

        Words {
            x: parent.width - width - Theme.s5
            mid: 38
            size: decision.sizes.strong
            bold: true
            text: decision.proposal.after
        }

        Words {
            x: Theme.s5
            y: 62
            width: parent.width - 2 * Theme.s5
            wrapMode: Text.WordWrap
            maximumLineCount: 2
            size: decision.sizes.small
            text: decision.proposal.detail
            color: Theme.ink
        }

        Words {
            x: Theme.s5
            mid: 138
            size: decision.sizes.small
            text: "waits for " + decision.proposal.asks + "; was " + decision.proposal.before + ", then " + decision.proposal.nextServer + " serves"
            color: Theme.dim
        }
    }

    Pad {
        objectName: "net.decision.agree"
        x: decision.width - width
        width: decision.padWide
        height: Math.floor((decision.height - Theme.net.gap) / 2)
        sizes: decision.sizes
        inset: Theme.s4
        text: decision.proposal.asks + " agrees"
        detail: "by sign"
        onActed: decision.court.tell.consentFor(decision.proposal.proposalId, true, decision.proposal.asks)
    }

    Pad {
        objectName: "net.decision.no"
        x: decision.width - width
        y: decision.height - height
        width: decision.padWide
        height: Math.floor((decision.height - Theme.net.gap) / 2)
        sizes: decision.sizes
        inset: Theme.s4
        text: decision.proposal.asks + " says no"
        detail: "by sign"
        onActed: decision.court.tell.consentFor(decision.proposal.proposalId, false, decision.proposal.asks)
    }
}
