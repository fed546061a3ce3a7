pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The top line of the upright wrist: set, and sets or score, or who writes if it is not the table; a silent device takes
// the right end with its mark and age.
// A round face has no room there: it names the silent device beside the score (WristLink).
Item {
    id: rail

    required property CourtView court
    required property WristShape shape
    property string word: rail.court.glance.setsText

    visible: !rail.shape.round

    Words {
        x: Theme.s6
        bl: 44
        size: Theme.wrist.small
        text: "Set " + rail.court.setNumber
        color: Theme.dim
    }

    Words {
        visible: !link.visible
        x: rail.shape.wide - Theme.s6 - width
        bl: 44
        size: Theme.wrist.small
        bold: rail.court.writer.brief !== ""
        text: rail.court.writer.brief !== "" ? rail.court.writer.brief : rail.word
        color: rail.court.writer.brief !== "" ? Theme.ink : Theme.dim
    }

    WristLink {
        id: link

        x: rail.shape.wide - Theme.s6 - width
        y: 44 - Math.round(Theme.wrist.small * 0.86)
        glance: rail.court.glance
    }
}
