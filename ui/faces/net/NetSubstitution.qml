pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Substitution: both teams' requests where the teams stand. Legality is seen before anybody is exchanged; one team
// first, the other asked to wait; "Done" asks the table to write the pair that has changed.
Item {
    id: page

    required property CourtView court
    required property NetState desk
    required property bool upright

    readonly property NetSizes sizes: Theme.net
    readonly property int wellX: page.desk.rightHand && !page.upright ? page.width - page.sizes.margin - page.sizes.well : page.sizes.margin
    readonly property int contentX: page.upright || page.desk.rightHand ? page.sizes.margin : page.sizes.margin + page.sizes.well + Theme.s5
    readonly property int contentWide: page.width - 2 * page.sizes.margin - (page.upright ? 0 : page.sizes.well + Theme.s5)
    readonly property string leading: page.desk.leading
    readonly property int foot: page.height - Theme.s5

    ScorePair {
        x: page.contentX
        y: page.upright ? 24 : 12
        width: page.contentWide
        height: page.upright ? 176 : implicitHeight
        view: page.court
        sizes: page.sizes
        upright: page.upright
    }

    NetServerDue {
        visible: known && !page.upright
        x: page.wellX
        width: page.sizes.well
        court: page.court
    }

    Repeater {
        model: [page.court.leftTeam, page.court.rightTeam]

        NetRequest {
            required property int index

            x: page.contentX + index * (page.contentWide - width)
            y: page.upright ? 220 : 152
            width: Math.floor((page.contentWide - Theme.s5) / 2)
            height: page.upright ? 622 : 560
            desk: page.desk
            atLeft: index === 0
            narrow: page.upright
        }
    }

    Pad {
        objectName: "net.page.hold"
        x: page.wellX
        y: page.upright ? page.foot - 228 - 14 - 90 : 272
        width: page.upright ? Math.floor((page.contentWide - page.sizes.gap) / 2) : page.sizes.well
        height: page.upright ? 90 : page.sizes.wellPad
        sizes: page.sizes
        kind: page.court.plates.hold.present ? Pad.Filled : Pad.Raised
        text: page.court.plates.hold.present ? "Release hold" : "Hold service"
        path: page.court.plates.hold.present ? Marks.answered : Marks.hold
        onActed: page.desk.holdOrRelease()
    }

    Pad {
        objectName: "net.page.cancel"
        x: page.upright ? page.width - page.sizes.margin - width : page.wellX
        y: page.upright ? page.foot - 228 - 14 - 90 : 350
        width: page.upright ? Math.floor((page.contentWide - page.sizes.gap) / 2) : page.sizes.well
        height: page.upright ? 90 : page.sizes.wellPad
        sizes: page.sizes
        kind: Pad.Outlined
        path: Marks.cross
        text: "Back to court"
        onActed: page.desk.shut()
    }

    Pad {
        objectName: "net.subs.done"
        x: page.wellX
        y: page.foot - height
        width: page.upright ? page.contentWide : page.sizes.well
        height: page.upright ? 228 : page.sizes.answerHigh
        sizes: page.sizes
        centred: true
        labelSize: page.upright ? page.sizes.title : page.sizes.strong
        path: Marks.answered
        text: "Done"
        detail: page.leading === "" ? "choose in and out" : page.desk.exchange(page.leading).legal ? page.leading + " has changed" : "not legal"
        enabled: page.leading !== "" && page.desk.exchange(page.leading).legal
        onActed: page.desk.exchanged()
    }
}
