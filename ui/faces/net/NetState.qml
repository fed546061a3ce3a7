pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What R2 is doing on this face now, and the acts that come of it. Nothing here is known to anybody else.
NetCalls {
    id: state

    property string first: ""
    property bool rightHand: Theme.rightHand

    property string checkTeam: ""
    property int checkPlace: 0
    property int checkNumber: -1
    readonly property string checkedTeam: state.checkTeam !== "" ? state.checkTeam : state.court.leftTeam.letter
    property bool agreedA: false
    property bool agreedB: false

    readonly property string leading: state.first !== "" && state.exchange(state.first).whole ? state.first : state.court.exchangeA.whole ? "A" : state.court.exchangeB.whole ? "B" : ""
    readonly property bool employed: state.court.lostText === ""
    readonly property bool attended: state.employed && (state.playing || ["between_sets", "line_ups", "check"].includes(state.court.phase))
    readonly property bool playing: state.employed && ["dead_ball", "rally", "time_out"].includes(state.court.phase)

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

    // How a notice ended: said by this post, or as R1 signalled it.
    function ended(notice: NoticeLook, outcome: string) {
        if (notice.closes)
            state.court.tell.close(notice.noticeId, outcome);
        else
            state.court.tell.closeFor(notice.noticeId, outcome, "R1");
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

    // R2 gives a team its time-out: the table is asked to write it.
    function timeOut(team: string) {
        if (state.court.write.timeOut(team))
            state.court.act.done("Time-out " + team, "line");
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
        const what = "position " + state.checkPlace + ", line-up sheet " + sheetNumber;
        state.checkNumber = number;
        state.agreedA = state.agreedA && team !== "A";
        state.agreedB = state.agreedB && team !== "B";
        state.court.tell.notice("check_sheet", team, number, what);
        state.court.tell.tick("positions", team, number + " stands at " + what);
    }

    // The question ends; only a misread fault is taken back at once, others when the team agrees.
    function settled(outcome: string) {
        const misread = outcome === "misread" && state.checkNumber >= 0;
        const question = state.court.plates.check;
        if (question.present && outcome === "misread")
            state.court.tell.withdraw(question.noticeId, "misread");
        else if (question.present)
            state.court.tell.close(question.noticeId, outcome);
        if (misread)
            state.court.tell.tick("positions", state.checkedTeam, "");
        state.checkPlace = 0;
        state.checkNumber = -1;
    }

    // One team's positions agree; after both R2 has checked and the table begins the set.
    function agree(team: string) {
        if (team === "A")
            state.agreedA = true;
        else
            state.agreedB = true;
        state.checkTeam = state.other(team);
        state.court.tell.tick("positions", team, "");
    }

    // R2 is ready; where the positions are due that says that they fit.
    function sayReady() {
        const due = state.court.duties.checkDue;
        if (due === "")
            state.court.tell.ready();
        else
            state.court.tell.tick("positions", "", "");
        if (due === "positions_again")
            state.court.tell.tick(due, "", "");
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
