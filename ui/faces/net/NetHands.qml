pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// The captains' hands at the line-up check, each ticked once; the team looked at, then both.
Grid {
    id: hands

    required property NetCheck page
    required property string stage
    required property int padWide

    readonly property NetSizes sizes: Theme.net

    spacing: hands.sizes.gap

    Repeater {
        model: hands.page.court.duties.hands

        Pad {
            required property string code
            required property string team
            required property string stage

            readonly property bool raised: stage === "done"

            objectName: "net.check.hand" + team
            visible: hands.stage === "done" || (hands.stage === "look" && team === hands.page.team.letter)
            enabled: !raised
            width: hands.padWide
            height: 104
            sizes: hands.sizes
            inset: Theme.s4
            path: raised ? Marks.answered : ""
            text: "Captain " + team
            detail: raised ? "hand was up" : "raised a hand"
            onActed: hands.page.court.tell.tick(code, team, "")
        }
    }
}
