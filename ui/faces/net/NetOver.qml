pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The match is over: the result, and what is left to do. Or this device has no job any more: why.
Item {
    id: page

    required property CourtView court

    readonly property bool lost: page.court.lostText !== ""

    Words {
        bl: 60
        size: Theme.net.title
        bold: true
        text: page.lost ? "No job here" : page.court.phaseWord
    }

    Words {
        y: 84
        width: page.width
        wrapMode: Text.WordWrap
        size: Theme.net.strong
        bold: true
        text: page.lost ? page.court.lostText : page.court.result
    }

    Words {
        visible: !page.lost
        bl: 230
        width: page.width
        wrapMode: Text.WordWrap
        size: Theme.net.body
        text: page.court.phase === "sealed" ? "Finished and locked. Nothing more to do here." : "Sign at the table when it is your turn."
        color: Theme.dim
    }
}
