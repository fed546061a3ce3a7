pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The tray under the court: what must be answered fills it; else the suggestion, the last act with its undo, what this
// post has raised, or one quiet line. Below them R1's decision, or the two substitution pads where the teams stand.
Item {
    id: tray

    required property CourtView court
    required property NetState desk

    readonly property NetSizes sizes: Theme.net
    readonly property NoticeLook notice: tray.court.plates.shown
    readonly property bool asked: tray.court.top.present
    readonly property bool tips: !tray.asked && tray.court.suggestion.present && !tray.court.inRally
    readonly property bool decides: !tray.asked && tray.court.proposal.present
    readonly property bool silent: !tray.asked && !tray.decides && tray.plated && tray.notice.level === "now" && tray.notice.missesR1
    readonly property bool plated: !tray.asked && !tray.tips && tray.notice.present
    readonly property bool refused: tray.court.refusal.present
    readonly property int lowHigh: tray.height - tray.sizes.target - tray.sizes.gap

    Press {
        objectName: "net.tray.plate"
        visible: tray.asked && !tray.refused
        width: tray.width
        height: plate.height
        arm: true
        armKey: tray.court.top.noticeId
        Accessible.name: "Got it, " + tray.court.top.title
        onActed: tray.court.tell.answer(tray.court.top.noticeId)

        contentItem: Item {
            NetPlate {
                id: plate

                width: tray.width
                height: tray.court.top.level === "note" && !tray.court.top.tracked ? 120 : tray.height
                notice: tray.court.top
                place: tray.court.asked > 1 ? "1 of " + tray.court.asked : ""

                ShownWitness {
                    anchors.fill: parent
                    visible: tray.visible && tray.asked
                    notice: tray.court.top
                    tell: tray.court.tell
                }
            }
        }
    }

    Words {
        visible: tray.asked && !tray.refused && plate.height < tray.height
        bl: tray.height - Theme.s3
        size: tray.sizes.body
        text: "Nothing holds the service"
        color: Theme.dim
    }

    NetDecision {
        visible: tray.decides
        y: tray.height - height
        width: tray.width
        height: tray.sizes.target
        court: tray.court
    }

    NetBySign {
        visible: tray.silent
        y: tray.height - height
        width: tray.width
        height: tray.sizes.target
        court: tray.court
        notice: tray.notice
    }

    NetLow {
        visible: !tray.asked && !tray.refused
        width: tray.width
        height: tray.lowHigh
        court: tray.court
        desk: tray.desk
        plated: tray.plated
        tips: tray.tips
    }

    NetRefusal {
        visible: tray.refused
        width: tray.width
        height: tray.asked ? tray.height : tray.lowHigh
        court: tray.court
    }

    Repeater {
        model: tray.asked || tray.decides || tray.silent || !["dead_ball", "time_out"].includes(tray.court.phase) ? [] : [tray.court.leftTeam, tray.court.rightTeam]

        Pad {
            required property TeamLook modelData
            required property int index

            objectName: "net.tray.sub" + modelData.letter
            x: index === 0 ? 0 : tray.width - width
            y: tray.height - height
            width: Math.floor((tray.width - tray.sizes.gap) / 2)
            height: tray.sizes.target
            sizes: tray.sizes
            path: Marks.sub
            text: "Substitution " + modelData.letter
            onActed: tray.desk.open("subs")
        }
    }
}
