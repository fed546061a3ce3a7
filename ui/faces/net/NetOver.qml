pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The match is over: the result, and what is left to do.
Item {
    id: page

    required property CourtView court

    Words {
        bl: 60
        size: Theme.net.title
        bold: true
        text: page.court.phaseWord
    }

    Words {
        y: 84
        width: page.width
        wrapMode: Text.WordWrap
        size: Theme.net.strong
        bold: true
        text: page.court.result
    }

    Words {
        bl: 230
        width: page.width
        wrapMode: Text.WordWrap
        size: Theme.net.body
        text: page.court.phase === "sealed" ? "Finished and locked. Nothing more to do here." : "Sign at the table when it is your turn."
        color: Theme.dim
    }
}
