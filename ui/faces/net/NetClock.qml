pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A clock that runs (time-out, between sets) and both teams' counts, which R2 shows to R1 by hand.
Item {
    id: page

    required property CourtView court
    property bool upright: false

    readonly property NetSizes sizes: Theme.net
    readonly property ClockLook clock: page.court.clock
    readonly property bool timeOut: page.court.phase === "time_out"

    Words {
        bl: 52
        size: page.sizes.title
        bold: true
        text: !page.clock.present ? page.court.phaseWord : page.clock.share > 0 ? page.clock.title : page.clock.title + " is over"
    }

    Words {
        visible: !page.timeOut
        bl: 100
        size: page.sizes.body
        text: page.court.courtsChanged ? "The teams have changed courts" : page.court.deciding ? "Toss for the last set" : "The teams change courts"
        color: Theme.dim
    }

    ClockText {
        objectName: "net.clock.left"
        visible: page.clock.present
        x: page.width - width
        bl: page.upright ? 110 : 128
        size: page.sizes.figure
        text: page.clock.leftText
    }

    Rectangle {
        visible: page.clock.present
        y: page.upright ? 134 : 160
        width: page.width
        height: Theme.s2
        color: Theme.hair

        Rectangle {
            width: Math.round(parent.width * page.clock.share)
            height: parent.height
            color: Theme.ink
        }
    }

    Repeater {
        model: page.timeOut ? [page.court.leftTeam, page.court.rightTeam] : []

        NetCounts {
            required property TeamLook modelData
            required property int index

            x: index === 0 ? 0 : page.width / 2 + Theme.s5
            y: page.upright ? 158 : 196
            width: page.width / 2 - Theme.s5
            team: modelData
            mirrored: index === 1
        }
    }

    Repeater {
        model: page.timeOut ? [] : [page.court.leftTeam, page.court.rightTeam]

        NetBetween {
            required property TeamLook modelData
            required property int index

            x: index === 0 ? 0 : page.width / 2 + Theme.s5
            y: page.upright ? 158 : 196
            width: page.width / 2 - Theme.s5
            team: modelData
            sheet: modelData.letter === "A" ? page.court.sheetA : page.court.sheetB
        }
    }
}
