pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The match is over: the result, and what is left to do. Or this device has no job any more: why.
Item {
    id: page

    required property CourtView court

    readonly property bool lost: page.court.lostText !== ""
    readonly property EndLook end: page.court.end

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
        text: page.court.phase === "sealed" ? "Finished and locked. Nothing more to do here." : page.end.wait !== "" ? page.end.wait : page.end.can ? page.end.signedText : [page.end.signedText, page.end.next !== "" ? "Next: " + page.end.next : ""].filter(one => one !== "").join(". ")
        color: Theme.dim
    }

    NetSign {
        y: 270
        width: Math.min(page.width, 420)
        height: 104
        court: page.court
        visible: !page.lost && page.end.can
    }
}
