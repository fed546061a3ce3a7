pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Line-ups due: two halves where the teams stand, which sheet is missing.
Item {
    id: page

    required property CourtView court

    Words {
        bl: 52
        size: Theme.net.title
        bold: true
        text: "Line-ups for set " + page.court.setNumber
    }

    ClockText {
        visible: page.court.clock.present
        x: page.width - width
        bl: 70
        size: Theme.net.clock
        text: page.court.clock.leftText
    }

    Repeater {
        model: [page.court.leftTeam, page.court.rightTeam]

        NetBetween {
            required property TeamLook modelData
            required property int index

            x: index === 0 ? 0 : page.width / 2 + Theme.s5
            y: 110
            width: page.width / 2 - Theme.s5
            team: modelData
            sheet: modelData.letter === "A" ? page.court.sheetA : page.court.sheetB
        }
    }

    Words {
        y: 256
        width: page.width
        wrapMode: Text.WordWrap
        size: Theme.net.body
        text: "Bring each sheet to the table. Then the positions are checked here."
        color: Theme.dim
    }
}
