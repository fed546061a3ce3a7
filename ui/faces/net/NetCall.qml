pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// R2's call in two taps: the fault, then who. "Number not seen" says what it costs. Standing, the faults lie below.
Item {
    id: page

    required property CourtView court
    required property NetState desk
    required property bool upright

    readonly property NetSizes sizes: Theme.net
    readonly property int contentX: page.upright || page.desk.rightHand ? page.sizes.margin : page.sizes.margin + page.sizes.well + Theme.s5
    readonly property int contentWide: page.width - 2 * page.sizes.margin - (page.upright ? 0 : page.sizes.well + Theme.s5)
    readonly property int courtHigh: page.upright ? 400 : 416
    readonly property int listX: page.upright ? page.sizes.margin : page.desk.rightHand ? page.width - page.sizes.margin - page.sizes.well : page.sizes.margin
    readonly property int listY: page.upright ? 724 : 20

    Words {
        x: page.contentX
        bl: page.upright ? 64 : 58
        size: page.sizes.title
        bold: true
        text: page.desk.fault === "" ? "Which fault?" : page.desk.faultName + ". Who?"
    }

    NetNumbers {
        x: page.contentX
        y: 104
        width: page.contentWide
        height: page.courtHigh
        court: page.court
        sizes: page.sizes
        toScale: !page.upright
        padHigh: page.upright ? 118 : 104
        padWide: page.upright ? 140 : 104
        openLeft: page.desk.mayBlame(page.court.leftTeam.letter)
        openRight: page.desk.mayBlame(page.court.rightTeam.letter)
        onChosen: (team, number) => page.desk.call(team, number)
    }

    Repeater {
        model: [page.court.leftTeam, page.court.rightTeam]

        Pad {
            required property TeamLook modelData
            required property int index

            readonly property string gains: page.desk.other(modelData.letter)

            objectName: "net.call.unseen" + modelData.letter
            x: page.contentX + index * (page.contentWide - width)
            y: page.upright ? 548 : page.height - Theme.s5 - height
            width: Math.floor((page.contentWide - Theme.s4) / 2)
            height: 116
            sizes: page.sizes
            enabled: page.desk.mayBlame(modelData.letter)
            text: "Team " + modelData.letter + ", number not seen"
            detail: "point " + gains + ", " + page.desk.scoreWith(gains)
            onActed: page.desk.call(modelData.letter, -1)
        }
    }

    Repeater {
        model: page.desk.faultCodes

        Pad {
            required property string modelData
            required property int index

            objectName: "net.call." + modelData
            x: page.listX + (page.upright ? (index % 2) * (width + page.sizes.gap) : 0)
            y: page.listY + (page.upright ? Math.floor(index / 2) * 104 : index * 80)
            width: page.upright ? Math.floor((page.contentWide - page.sizes.gap) / 2) : page.sizes.well
            height: page.upright ? 90 : 70
            sizes: page.sizes
            kind: page.desk.fault === modelData ? Pad.Filled : Pad.Raised
            text: page.desk.faultNames[index]
            onActed: page.desk.fault = modelData

            Icon {
                visible: parent.kind === Pad.Filled
                x: parent.width - width - Theme.s4
                y: Math.round((parent.height - height) / 2)
                path: Marks.answered
                size: 28
                tone: Theme.ground
            }
        }
    }

    NetCancel {
        y: page.upright ? page.listY + 312 : page.height - Theme.s5 - height
        page: page
        desk: page.desk
        upright: page.upright
    }
}
