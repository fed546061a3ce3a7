pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The one question of the line-up check: what differs, who stands there, and what the coach says to it.
Item {
    id: well

    required property NetCheck page
    property bool wideRow: false

    readonly property NetSizes sizes: Theme.net
    readonly property NetState desk: well.page.desk
    readonly property TeamLook team: well.page.team
    readonly property string written: well.desk.checkPlace > 0 ? well.page.sheet.numbersLine.split(" ")[well.desk.checkPlace - 1] : ""
    readonly property string stage: well.page.agreed ? "done" : well.desk.checkPlace === 0 ? "look" : well.desk.checkNumber < 0 ? "who" : "ask"
    readonly property int columns: well.wideRow ? 3 : 1
    readonly property int padWide: Math.floor((well.width - (well.columns - 1) * Theme.net.gap) / well.columns)

    Words {
        bl: 48
        size: well.sizes.title
        bold: true
        text: well.stage === "look" || well.stage === "done" ? "Check" : "Position " + well.desk.checkPlace
    }

    Words {
        y: 72
        width: well.width
        wrapMode: Text.WordWrap
        size: well.sizes.body
        text: well.stage === "done" ? "Positions of both teams agree. " + well.page.court.duties.reminder : well.stage === "look" ? "Does each player stand as on the sheet? Tap a place that differs." : "line-up sheet " + well.written
        color: Theme.dim
    }

    Words {
        visible: well.stage === "who" || well.stage === "ask"
        x: well.wideRow ? 270 : 0
        bl: well.wideRow ? 96 : 140
        size: well.sizes.body
        bold: true
        text: well.stage === "who" ? "Who stands there?" : "on court " + well.desk.checkNumber
    }

    NetHands {
        y: well.wideRow ? 150 : 250
        columns: well.columns
        padWide: well.padWide
        page: well.page
        stage: well.stage
    }

    Flow {
        visible: well.stage === "who"
        y: well.wideRow ? 126 : 166
        width: well.width
        spacing: Theme.s3

        Repeater {
            model: well.stage === "who" && well.team.benchLine !== "" ? well.team.benchLine.split(" ") : []

            NetNumberPad {
                required property string modelData

                objectName: "net.check.number" + modelData
                width: 84
                number: Number(modelData)
                said: "stands there"
                onActed: well.desk.differs(well.team.letter, well.written, number)
            }
        }
    }

    Words {
        visible: well.stage === "ask"
        x: well.wideRow ? 540 : 0
        bl: well.wideRow ? 96 : 196
        size: well.sizes.body
        text: "Ask the coach:"
        color: Theme.dim
    }

    Grid {
        visible: well.stage === "ask"
        y: well.wideRow ? 126 : 216
        columns: well.columns
        spacing: Theme.net.gap

        Pad {
            objectName: "net.check.stands"
            width: well.padWide
            height: 104
            sizes: well.sizes
            inset: Theme.s4
            text: "Sheet stands"
            detail: well.written + " comes in, no count"
            onActed: well.desk.settled("sheet stands")
        }

        Pad {
            objectName: "net.check.stays"
            width: well.padWide
            height: 104
            sizes: well.sizes
            inset: Theme.s4
            text: well.desk.checkNumber + " stays"
            detail: "substitution, 1 of " + well.team.substitutionsAllowed
            onActed: well.desk.settled(well.desk.checkNumber + " stays, a substitution")
        }

        Pad {
            objectName: "net.check.misread"
            width: well.padWide
            height: well.wideRow ? 104 : 72
            sizes: well.sizes
            inset: Theme.s4
            text: "I misread it"
            onActed: well.desk.settled("misread")
        }
    }

    Pad {
        objectName: "net.check.back"
        visible: well.stage === "who"
        x: well.width - width
        y: well.wideRow ? 0 : well.height - height
        width: well.padWide
        height: well.wideRow ? 64 : 72
        sizes: well.sizes
        kind: Pad.Outlined
        path: Marks.cross
        text: "Cancel"
        onActed: well.desk.settled("misread")
    }
}
