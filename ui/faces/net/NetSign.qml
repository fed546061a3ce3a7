pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The signature whose turn it is, if this post can enter it: its own with one tap, another's sign with two.
Pad {
    id: pad

    required property CourtView court

    readonly property EndLook end: pad.court.end
    property string given: ""

    objectName: "net.sign"
    visible: pad.end.can
    sizes: Theme.net
    path: Marks.answered
    text: !pad.end.bySign ? pad.end.next + " signs" : pad.given === pad.end.next ? "Tap again" : pad.end.next + " by sign"
    detail: pad.end.bySign ? "as " + pad.end.next + " signalled" : pad.end.own ? "the score sheet is right" : "here, with a mark"
    onActed: {
        if (pad.end.bySign && pad.given !== pad.end.next)
            pad.given = pad.end.next;
        else
            pad.court.tell.sign();
    }
}
