pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The line-up check on the phone: one team's sheet as the players should stand, checked by eye, then one tap. If it
// differs R2 holds and tells R1; the numbers are entered on a tablet or by the table.
Item {
    id: page

    required property CourtView court
    required property NetState desk

    readonly property PhoneSizes sizes: Theme.phone
    readonly property int wide: page.width - 2 * page.sizes.margin
    readonly property TeamLook team: page.desk.checkedTeam === "B" ? page.court.teamB : page.court.teamA
    readonly property SheetLook sheet: page.team.letter === "B" ? page.court.sheetB : page.court.sheetA
    readonly property bool atLeft: page.team === page.court.leftTeam
    readonly property bool agreed: (page.desk.agreedA && page.desk.agreedB) || page.court.duties.checked

    Words {
        x: page.sizes.margin
        bl: 44
        size: page.sizes.strong
        bold: true
        text: page.agreed ? "Both teams agree" : "Team " + page.team.letter + ", as you see it"
    }

    Words {
        x: page.sizes.margin
        y: 60
        width: page.wide
        wrapMode: Text.WordWrap
        size: page.sizes.small
        text: page.agreed ? "The table begins the set. " + page.court.duties.reminder : "Check by eye. All six right: tap. If not: hold, and tell R1."
        color: Theme.dim
    }

    NetPhoneSheet {
        visible: !page.agreed
        x: page.sizes.margin
        y: 124
        width: page.wide
        sheet: page.sheet
        atLeft: page.atLeft
    }

    Repeater {
        model: page.court.duties.hands

        Pad {
            required property string code
            required property string team
            required property string stage
            required property int index

            readonly property bool raised: stage === "done"

            objectName: "net.check.hand" + team
            visible: page.agreed
            enabled: !raised
            x: page.sizes.margin
            y: 150 + index * 90
            width: page.wide
            height: 78
            sizes: page.sizes
            path: raised ? Marks.answered : ""
            text: "Captain " + team
            detail: raised ? "hand was up" : "raised a hand"
            onActed: page.court.tell.tick(code, team, "")
        }
    }

    Words {
        visible: page.court.refusal.present
        x: page.sizes.margin
        y: 396
        width: page.wide
        wrapMode: Text.WordWrap
        size: page.sizes.small
        bold: true
        text: page.court.refusal.sentence
    }

    Repeater {
        model: ["conduct", "hold"]

        Pad {
            required property string modelData
            required property int index

            readonly property bool held: modelData === "hold" && page.court.plates.hold.present

            objectName: "net.well." + modelData
            x: page.sizes.margin + index * (page.wide - width)
            y: 456
            width: Math.floor((page.wide - page.sizes.gap) / 2)
            height: 76
            sizes: page.sizes
            centred: true
            labelSize: page.sizes.small
            kind: held ? Pad.Filled : Pad.Raised
            text: modelData === "conduct" ? "Conduct" : held ? "Release hold" : "Hold service"
            onActed: {
                if (modelData === "hold")
                    page.desk.holdOrRelease();
                else
                    page.desk.open("conduct");
            }
        }
    }

    Pad {
        objectName: "net.check.agree"
        visible: !page.agreed
        x: page.sizes.margin
        y: page.height - 16 - height
        width: page.wide
        height: 120
        sizes: page.sizes
        kind: enabled ? Pad.Filled : Pad.Raised
        centred: true
        path: Marks.answered
        labelSize: page.sizes.strong
        text: "All six right"
        detail: "Team " + page.team.letter
        enabled: !page.court.plates.hold.present
        onActed: page.desk.agree(page.team.letter)
    }
}
