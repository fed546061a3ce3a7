pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What R2 is doing on this face now, and the acts that come of it. Nothing here is known to anybody else.
QtObject {
    id: state

    required property CourtView court
    property string page: ""
    property string fault: ""
    property string side: ""
    property string first: ""
    property bool rightHand: Theme.rightHand

    property string checkTeam: ""
    property int checkPlace: 0
    property int checkNumber: -1
    property bool agreedA: false
    property bool agreedB: false

    readonly property string leading: state.first !== "" && state.exchange(state.first).whole ? state.first : state.court.exchangeA.whole ? "A" : state.court.exchangeB.whole ? "B" : ""
    readonly property list<string> faultCodes: ["net", "centre_line", "antenna", "position", "back_row", "libero_attack", "outside_object"]
    readonly property list<string> faultNames: ["Net contact", "Centre line", "Antenna", "Position, receivers", "Back-row fault", "Libero fault", "Outside object"]
    readonly property string faultName: state.fault !== "" ? state.faultNames[state.faultCodes.indexOf(state.fault)] : ""
    readonly property bool attended: state.playing || state.court.phase === "between_sets" || state.court.phase === "line_ups"
    readonly property bool playing: ["dead_ball", "rally", "time_out"].includes(state.court.phase)

    function open(page: string) {
        state.fault = "";
        state.side = "";
        state.page = page;
    }

    function shut() {
        state.open("");
    }

    function other(team: string): string {
        return team === "A" ? "B" : "A";
    }

    // The score if the rally goes to this team, as this reader sees it.
    function scoreWith(team: string): string {
        const left = state.court.leftTeam;
        const right = state.court.rightTeam;
        return (left.points + (left.letter === team ? 1 : 0)) + ":" + (right.points + (right.letter === team ? 1 : 0));
    }

    function mayBlame(team: string): bool {
        return state.fault !== "" && (state.fault !== "position" || team !== state.court.serverTeam);
    }

    // The call costs the rally: it goes to the other team, with fault and number, to the one who writes.
    function call(team: string, number: int) {
        const words = state.faultName + " " + team + (number >= 0 ? " " + number : "") + ", point " + state.other(team);
        if (state.court.write.calledPoint(state.other(team), state.fault, number))
            state.court.act.done(words, "line");
        state.shut();
    }

    function wrongServer(team: string, number: int) {
        if (state.court.tell.notice("wrong_server", team, number, ""))
            state.court.act.done("Wrong server " + team + " " + number, "notice");
        state.shut();
    }

    function conduct(who: string, number: int) {
        if (state.court.tell.notice("conduct", state.side, number, who))
            state.court.act.done("Conduct, side of " + state.side, "notice");
        state.shut();
    }

    function setPoint() {
        const tip = state.court.suggestion;
        const last = tip.title.slice(-1);
        state.court.tell.notice(tip.kind, last === "A" || last === "B" ? last : "", -1, tip.after);
    }

    function holdOrRelease() {
        if (state.court.plates.hold.present)
            state.court.tell.release();
        else
            state.court.tell.hold("R2 asks to wait");
    }

    function exchange(team: string): ExchangeLook {
        return team === "B" ? state.court.exchangeB : state.court.exchangeA;
    }

    // The pair has changed: the table is asked to write it, and the other team is next.
    function exchanged() {
        const team = state.leading;
        const pair = state.exchange(team);
        const words = "Substitution " + team + ", " + pair.comesIn + " in for " + pair.goesOut;
        const write = state.court.write;
        if (pair.again ? write.substituteNext(team, pair.comesIn, pair.goesOut) : write.substitute(team, pair.comesIn, pair.goesOut))
            state.court.act.done(words, "line");
        pair.clear();
        state.first = "";
        if (state.leading === "")
            state.shut();
    }

    function differs(team: string, sheetNumber: string, number: int) {
        state.checkNumber = number;
        state.court.tell.notice("check_sheet", team, number, "position " + state.checkPlace + ", line-up sheet " + sheetNumber);
    }

    function settled(outcome: string) {
        const question = state.court.plates.check;
        if (question.present && outcome === "misread")
            state.court.tell.withdraw(question.noticeId, "misread");
        else if (question.present)
            state.court.tell.close(question.noticeId, outcome);
        state.checkPlace = 0;
        state.checkNumber = -1;
    }

    // One team's positions agree; after both R2 is ready and the table begins the set.
    function agree(team: string) {
        if (team === "A")
            state.agreedA = true;
        else
            state.agreedB = true;
        state.checkTeam = state.other(team);
        if (state.agreedA && state.agreedB)
            state.court.tell.ready();
    }

    function takeBack() {
        state.court.tell.withdraw(state.court.plates.own.noticeId, "a slip");
        state.court.act.forget();
    }

    function undo() {
        if (state.court.act.way === "notice") {
            state.takeBack();
        } else {
            state.court.write.strike(state.court.act.entry, "a slip");
            state.court.act.forget();
        }
    }
}
