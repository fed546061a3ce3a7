pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What the wrist shows outside play: who is linked, line-ups, the running clock, the end.
WristMoment {
    id: phase

    readonly property string now: phase.court.lostText !== "" ? "lost" : phase.court.phase
    readonly property bool pause: phase.now === "time_out" || phase.now === "between_sets"
    readonly property TeamLook asker: phase.court.clock.team === "B" ? phase.court.teamB : phase.court.teamA
    readonly property list<string> ended: phase.court.result.split(" (")

    readonly property string fault: phase.court.duties.faultText
    readonly property bool signs: phase.now === "finished" && phase.court.end.own

    function sheet(sheet: SheetLook): string {
        return sheet.state === "accepted" || sheet.state === "complete" ? "in" : "due";
    }

    objectName: "wrist.phase." + phase.now
    figure: phase.court.clock.present ? phase.court.clock.leftText : ""
    path: phase.now === "finished" || phase.now === "sealed" ? Marks.answered : phase.now === "before" ? Marks.linked : phase.now === "lost" ? Marks.unlinked : phase.pause ? Marks.timeout : Marks.lineup
    titleSize: phase.signs ? phase.sizes.body : phase.sizes.strong
    corner: phase.now === "time_out" ? phase.court.glance.scoreText : phase.court.glance.setsText
    title: {
        switch (phase.now) {
        case "lost":
            return "No job here";
        case "before":
            return phase.court.glance.linkedText;
        case "line_ups":
            return "Line-ups";
        case "check":
            return phase.fault !== "" ? "Positions differ" : "Check";
        case "time_out":
            return phase.court.clock.present ? phase.court.clock.title : "Time-out";
        case "between_sets":
            return phase.court.glance.wonText !== "" ? phase.court.glance.wonText : "Set " + phase.court.setNumber + " next";
        case "sealed":
            return "Locked";
        default:
            return phase.signs ? phase.ended[0] : "Finished";
        }
    }
    line: {
        switch (phase.now) {
        case "lost":
            return phase.court.lostText;
        case "before":
            return phase.court.expectedText !== "" ? phase.court.expectedText : phase.court.glance.missingText;
        case "check":
            return phase.fault !== "" ? phase.fault : phase.court.duties.checksText !== "" ? phase.court.duties.checksText : "positions on court";
        case "between_sets":
            return "line-ups: A " + phase.sheet(phase.court.sheetA) + ", B " + phase.sheet(phase.court.sheetB);
        case "time_out":
            return phase.court.clock.team !== "" ? "time-outs " + phase.asker.timeOutsText : "";
        case "finished":
        case "sealed":
            return phase.signs ? "" : phase.ended.length > 1 ? phase.ended[1].replace(")", "") : "";
        default:
            return "";
        }
    }
    second: {
        switch (phase.now) {
        case "before":
            return phase.court.duties.lateText;
        case "line_ups":
            return "A " + phase.sheet(phase.court.sheetA) + ", B " + phase.sheet(phase.court.sheetB);
        case "between_sets":
            return phase.court.glance.tossDue ? "Toss first" : "Change of courts";
        case "finished":
        case "sealed":
            return phase.signs ? "" : phase.ended[0];
        default:
            return "";
        }
    }

    WristPad {
        objectName: "wrist.sign"
        visible: phase.signs
        shape: phase.shape
        x: phase.round ? 0 : phase.sizes.margin
        y: 216 - phase.lift
        width: phase.width - 2 * x
        height: phase.shape.tellTop - phase.sizes.gap - y
        text: "Sign"
        path: Marks.answered
        kind: Pad.Filled
        onActed: phase.court.tell.sign()
    }
}
