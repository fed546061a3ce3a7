pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Once a match is over: take its names away from every device.
HoldPad {
    id: erase

    required property CourtView court

    objectName: "board.open.erase"
    visible: erase.court.namesErasable
    height: 84
    sizes: Theme.board
    labelSize: Theme.board.small
    inset: Theme.s4
    plainText: "Erase the names"
    detail: "hold: on every device, for good"
    onDone: erase.court.tell.eraseNames()
}
