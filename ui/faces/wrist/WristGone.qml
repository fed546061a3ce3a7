pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A notice that R1 was shown has been taken back: its plate for 5 s, title struck, why. Nothing to answer.
Item {
    id: page

    required property CourtView court
    required property WristShape shape

    WristPlate {
        objectName: "wrist.gone.plate"
        width: page.width
        height: page.shape.plateHigh
        notice: page.court.glance.gone
        shape: page.shape
        leftLetter: page.court.leftTeam.letter
    }

    WristWords {
        shape: page.shape
        footing: page.shape.round ? 356 : 398
        end: "middle"
        size: Theme.wrist.body
        bold: true
        text: "Taken back"
    }

    WristWords {
        shape: page.shape
        footing: page.shape.round ? 394 : 440
        end: "middle"
        size: Theme.wrist.small
        text: page.shape.round ? "no answer" : "nothing to answer"
        color: Theme.dim
    }
}
