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
    property bool signsBelow: false

    readonly property NetSizes sizes: Theme.net
    readonly property NoticeLook notice: tray.court.plates.shown
    readonly property bool asked: tray.court.top.present
    readonly property bool later: tray.asked && tray.court.top.putsOff
    readonly property int laterWide: 200
    readonly property bool tips: !tray.asked && tray.court.suggestion.present && !tray.court.inRally
    readonly property ProposalLook proposal: tray.court.proposal
    readonly property bool consulted: tray.proposal.older && tray.proposal.mine && tray.proposal.saidText === "" && !tray.court.inRally
    readonly property bool decides: !tray.asked && tray.proposal.present && (!tray.proposal.older || tray.consulted)
    readonly property bool above: tray.decides && tray.proposal.older && low.free
    readonly property bool silent: !tray.asked && !tray.decides && tray.plated && tray.notice.level === "now" && tray.notice.missesR1
    readonly property bool plated: !tray.asked && !tray.tips && tray.notice.present
    readonly property bool refused: tray.court.refusal.present
    readonly property WriterLook writer: tray.court.writer
    readonly property bool troubled: !tray.asked && !tray.tips && !tray.plated && !tray.above && (tray.court.storageText !== "" || tray.writer.firstKey !== "")
    readonly property int lowHigh: tray.height - tray.sizes.target - tray.sizes.gap

    Pad {
        objectName: "net.tray.later"
        visible: tray.later && !tray.refused
        x: tray.width - width
        width: tray.laterWide
        height: tray.height
        sizes: tray.sizes
        centred: true
        text: "Not now"
        detail: "next dead ball"
        arm: true
        armKey: tray.court.top.noticeId
        onActed: tray.court.tell.putOff(tray.court.top.noticeId)
    }

    Press {
        objectName: "net.tray.plate"
        visible: tray.asked && !tray.refused
        width: tray.later ? tray.width - tray.laterWide - tray.sizes.gap : tray.width
        height: plate.height
        arm: true
        armKey: tray.court.top.noticeId
        Accessible.name: "Got it, " + tray.court.top.title
        onActed: tray.court.tell.answer(tray.court.top.noticeId)

        contentItem: Item {
            NetPlate {
                id: plate

                width: parent.width
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

    NetDecision {
        visible: tray.decides
        y: tray.above ? 0 : tray.height - height
        width: tray.width
        height: tray.above ? tray.lowHigh : tray.sizes.target
        court: tray.court
        roomy: tray.above
        bare: tray.signsBelow
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
        id: low

        visible: !tray.asked && !tray.refused && !tray.troubled
        width: tray.width
        height: tray.lowHigh
        court: tray.court
        desk: tray.desk
        plated: tray.plated
        tips: tray.tips
        named: tray.above
    }

    NetTrouble {
        visible: tray.troubled && !tray.refused
        width: tray.width
        height: tray.lowHigh
        court: tray.court
        desk: tray.desk
        sizes: tray.sizes
    }

    NetDuty {
        visible: !tray.asked && ["before", "line_ups", "between_sets", "finished"].includes(tray.court.phase)
        y: tray.height - height
        width: tray.width
        height: tray.sizes.target
        court: tray.court
    }

    NetRefusal {
        visible: tray.refused
        width: tray.width
        height: tray.asked ? tray.height : tray.lowHigh
        court: tray.court
    }

    NetRequests {
        visible: !tray.asked && (!tray.decides || tray.above) && !tray.silent && tray.desk.employed && ["dead_ball", "time_out"].includes(tray.court.phase)
        y: tray.height - height
        width: tray.width
        height: tray.sizes.target
        court: tray.court
        desk: tray.desk
    }
}
