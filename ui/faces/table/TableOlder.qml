pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A change of an old line that waits for another official: which line, the score before and after, who is asked. No hue.
Rectangle {
    id: older

    required property ProposalLook proposal

    readonly property TableSizes sizes: Theme.table

    color: Theme.ground
    radius: Theme.plateRadius
    border {
        width: Theme.frame
        color: Theme.ink
    }
    Accessible.role: Accessible.StaticText
    Accessible.name: older.waits + ". " + older.proposal.title + ", " + older.score

    readonly property string waits: older.proposal.saidText !== "" ? older.proposal.saidText : older.proposal.mine ? "Do you agree?" : "Waits for " + older.proposal.asks
    readonly property string score: older.proposal.before + " becomes " + older.proposal.after

    Words {
        objectName: "table.older.waits"
        x: 20
        mid: 30
        size: older.sizes.body
        bold: true
        text: older.waits
    }

    Words {
        objectName: "table.older.score"
        x: older.width - 20 - width
        mid: 30
        size: older.sizes.body
        bold: true
        text: older.score
    }

    Words {
        x: 20
        mid: lineCount > 1 ? 58 : 68
        width: older.width - 40
        wrapMode: Text.WordWrap
        size: older.sizes.small
        text: older.proposal.title
        color: Theme.dim
    }
}
