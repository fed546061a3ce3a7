pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views

// Which page the wrist shows: a notice first, then what was taken back, what R1 tells or decides, else the moment. In a
// rally nothing but a NOW covers the score.
QtObject {
    id: choice

    required property CourtView court
    property bool telling: false
    property bool awake: false
    property string seenSilent: ""

    readonly property NoticeLook notice: choice.court.top
    readonly property NoticeLook own: choice.court.plates.own
    readonly property bool aboutPoint: choice.notice.kind === "set_point" || choice.notice.kind === "match_point"
    readonly property bool noticed: choice.notice.present && !(choice.aboutPoint && choice.court.ready.state === "clear")
    readonly property bool gone: choice.court.glance.gone.present && (!choice.dim || choice.court.glance.gone.level === "now")
    readonly property bool silent: (!choice.dim || choice.own.level === "now") && choice.own.told !== "" && choice.seenSilent !== choice.own.noticeId
    readonly property bool refused: choice.court.refusal.present && !choice.dim
    readonly property bool told: choice.own.present && (choice.court.act.present || choice.silent)
    readonly property bool dim: choice.court.inRally && !choice.awake

    property string seenTrouble: ""
    readonly property string trouble: !choice.court.writer.matchHere ? "coming" : choice.court.storageText !== "" && choice.seenTrouble !== choice.court.storageText ? "unsaved" : choice.court.writer.handTo !== "" ? "hand" : ""
    readonly property bool troubled: choice.trouble !== "" && choice.court.lostText === "" && !choice.dim

    readonly property string moment: choice.troubled ? "writer" : choice.court.lostText !== "" ? "phase" : choice.dim ? "rally" : choice.court.phase !== "dead_ball" && choice.court.phase !== "rally" ? "phase" : choice.court.ready.state === "none" && !choice.court.glance.courtsDue ? "calm" : "ready"
    readonly property string page: {
        if (choice.noticed)
            return choice.aboutPoint ? "point" : "notice";
        if (choice.gone)
            return "gone";
        if (choice.telling)
            return "tell";
        if (choice.court.glance.deciding && !(choice.dim && choice.court.glance.decisionOlder))
            return "decide";
        return choice.refused || choice.told ? "own" : choice.moment;
    }

    onPageChanged: choice.telling = choice.page === "tell"
}
