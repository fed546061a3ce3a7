pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Numbers on the phone: for a call first the fault, then who; for a wrong server who hit, on court or from the bench.
Item {
    id: page

    required property CourtView court
    required property NetState desk

    readonly property PhoneSizes sizes: Theme.phone
    readonly property bool calling: page.desk.page === "call"
    readonly property bool listed: page.calling && page.desk.fault === ""
    readonly property int wide: page.width - 2 * page.sizes.margin
    readonly property TeamLook serving: page.court.serverTeam === "B" ? page.court.teamB : page.court.teamA

    Repeater {
        model: page.listed ? page.desk.faultCodes : []

        Pad {
            required property string modelData
            required property int index

            objectName: "net.call." + modelData
            x: page.sizes.margin
            y: 12 + index * 80
            width: page.wide
            height: 70
            sizes: page.sizes
            text: page.desk.faultNames[index]
            onActed: page.desk.fault = modelData
        }
    }

    Pad {
        objectName: "net.call.chosen"
        visible: page.calling && !page.listed
        x: page.sizes.margin
        y: 16
        width: page.wide
        height: 72
        sizes: page.sizes
        kind: Pad.Filled
        path: Marks.answered
        markSize: 28
        text: page.desk.faultName
        Accessible.description: "Choose another fault"
        onActed: page.desk.fault = ""
    }

    Words {
        visible: !page.listed
        x: 20
        bl: page.calling ? 138 : 64
        size: page.sizes.title
        bold: true
        text: page.calling ? "Who?" : "Who hit it?"
    }

    Words {
        visible: !page.listed
        x: page.width - width - 20
        bl: page.calling ? 138 : 64
        size: page.sizes.floor
        text: page.calling ? "the table gets it" : "tells all"
        color: Theme.dim
    }

    NetNumbers {
        visible: !page.listed
        y: page.calling ? 160 : 88
        width: page.width
        height: 318
        court: page.court
        sizes: page.sizes
        rim: 14
        padWide: 72
        padHigh: 98
        openLeft: !page.calling || page.desk.mayBlame(page.court.leftTeam.letter)
        openRight: !page.calling || page.desk.mayBlame(page.court.rightTeam.letter)
        onChosen: (team, number) => {
            if (page.calling)
                page.desk.call(team, number);
            else
                page.desk.wrongServer(team, number);
        }
    }

    Repeater {
        model: page.calling && !page.listed ? [page.court.leftTeam, page.court.rightTeam] : []

        Pad {
            required property TeamLook modelData
            required property int index

            readonly property string gains: page.desk.other(modelData.letter)

            objectName: "net.call.unseen" + modelData.letter
            x: page.sizes.margin + index * (page.wide - width)
            y: 494
            width: Math.floor((page.wide - Theme.s3) / 2)
            height: 92
            sizes: page.sizes
            inset: Theme.s3
            labelSize: page.sizes.small
            enabled: page.desk.mayBlame(modelData.letter)
            text: modelData.letter + ", not seen"
            detail: "point " + gains + ", " + page.desk.scoreWith(gains)
            onActed: page.desk.call(modelData.letter, -1)
        }
    }

    Words {
        visible: !page.calling
        x: 20
        bl: 432
        size: page.sizes.small
        text: "or from the bench of " + page.serving.letter
        color: Theme.dim
    }

    Flow {
        visible: !page.calling
        x: page.sizes.margin
        y: 444
        width: page.wide
        spacing: Theme.s3

        Repeater {
            model: !page.calling && page.serving.benchLine !== "" ? page.serving.benchLine.split(" ") : []

            NetNumberPad {
                required property string modelData

                objectName: "net.bench." + page.serving.letter + "." + modelData
                number: Number(modelData)
                said: "Team " + page.serving.letter + ", bench"
                onActed: page.desk.wrongServer(page.serving.letter, number)
            }
        }
    }

    NetPhoneCancel {
        desk: page.desk
    }
}
