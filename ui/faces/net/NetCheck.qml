pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The line-up check, one team after the other: the half as R2 sees it with the sheet's number in every place, the
// sheet beside it; only a difference is boxed. Under the sheet who has checked. When both agree the table begins the set.
Item {
    id: page

    required property CourtView court
    required property NetState desk
    required property bool upright

    readonly property NetSizes sizes: Theme.net
    readonly property TeamLook team: page.desk.checkedTeam === "B" ? page.court.teamB : page.court.teamA
    readonly property SheetLook sheet: page.team.letter === "B" ? page.court.sheetB : page.court.sheetA
    readonly property bool atLeft: page.team === page.court.leftTeam
    readonly property bool agreed: (page.desk.agreedA && page.desk.agreedB) || page.court.duties.checked
    readonly property int wellX: page.desk.rightHand && !page.upright ? page.width - page.sizes.margin - page.sizes.well : page.sizes.margin
    readonly property int contentX: page.upright || page.desk.rightHand ? page.sizes.margin : page.sizes.margin + page.sizes.well + Theme.s5
    readonly property int wellWide: page.upright ? page.width - 2 * page.sizes.margin : page.sizes.well
    readonly property int foot: page.height - Theme.s5

    Words {
        x: page.contentX
        bl: 54
        size: page.sizes.strong
        bold: true
        text: "Team " + page.team.letter + ", as you see it"
    }

    NetCheckCourt {
        x: page.contentX
        y: 88
        width: page.upright ? 500 : 640
        height: page.upright ? 420 : 462
        page: page
    }

    NetCheckSheet {
        id: paper

        x: page.upright ? page.width - page.sizes.margin - width : page.contentX + 692
        y: 24
        width: page.upright ? 216 : 240
        team: page.team
        sheet: page.sheet
        place: page.desk.checkPlace
    }

    NetChecked {
        x: paper.x
        y: paper.y + 446
        width: paper.width
        duties: page.court.duties
    }

    NetCheckWell {
        x: page.wellX
        y: page.upright ? 550 : 8
        width: page.wellWide
        height: page.upright ? 390 : 566
        page: page
        wideRow: page.upright
    }

    Pad {
        objectName: "net.check.agree"
        visible: !page.court.top.present
        x: page.wellX
        y: page.foot - height
        width: page.wellWide
        height: page.upright ? 228 : page.sizes.answerHigh
        sizes: page.sizes
        centred: true
        labelSize: page.upright ? page.sizes.title : page.sizes.strong
        path: page.upright && !page.agreed && page.desk.checkPlace === 0 ? Marks.answered : ""
        text: page.agreed ? "Both agree" : "Line-up agrees"
        detail: page.agreed ? "the table begins the set" : page.desk.checkPlace !== 0 ? "when all six do" : "Team " + page.team.letter + ", all six"
        enabled: !page.agreed && page.desk.checkPlace === 0
        onActed: page.desk.agree(page.team.letter)
    }

    NetAnswer {
        visible: page.court.top.present
        x: page.wellX
        y: page.foot - height
        width: page.wellWide
        height: page.upright ? 228 : page.sizes.answerHigh
        large: page.upright
        court: page.court
        desk: page.desk
    }

    NetPlate {
        visible: page.court.plates.shown.present
        x: page.contentX
        y: page.upright ? page.foot - 228 - 14 - height : page.foot - height
        width: page.upright ? page.width - 2 * page.sizes.margin : paper.x - page.contentX - Theme.s5
        height: 140
        notice: page.court.plates.shown

        ShownWitness {
            anchors.fill: parent
            notice: page.court.plates.shown
            tell: page.court.tell
        }
    }

    NetRefusal {
        visible: page.court.refusal.present
        x: page.contentX
        y: page.upright ? page.foot - 228 - 14 - height : page.foot - height
        width: page.width - 2 * page.sizes.margin - (page.upright ? 0 : page.sizes.well + Theme.s5)
        height: 140
        court: page.court
    }
}
