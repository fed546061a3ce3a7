pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views

// The page that is open, and the call that R2 puts together on it: the fault, then who.
QtObject {
    id: calls

    required property CourtView court
    property string page: ""
    property string fault: ""
    property string side: ""

    readonly property list<string> faultCodes: ["net", "centre_line", "antenna", "position", "back_row", "libero_attack", "outside_object"]
    readonly property list<string> faultNames: ["Net contact", "Centre line", "Antenna", "Position fault", "Back-row fault", "Libero fault", "Outside object"]
    readonly property string faultName: calls.fault !== "" ? calls.faultNames[calls.faultCodes.indexOf(calls.fault)] : ""

    function open(page: string) {
        calls.fault = "";
        calls.side = "";
        calls.page = page;
    }

    function shut() {
        calls.open("");
    }

    function other(team: string): string {
        return team === "A" ? "B" : "A";
    }

    // The score if the rally goes to this team, as this reader sees it.
    function scoreWith(team: string): string {
        const left = calls.court.leftTeam;
        const right = calls.court.rightTeam;
        return (left.points + (left.letter === team ? 1 : 0)) + ":" + (right.points + (right.letter === team ? 1 : 0));
    }

    function mayBlame(team: string): bool {
        return calls.fault !== "" && (calls.fault !== "position" || team !== calls.court.serverTeam);
    }

    // The call costs the rally: it goes to the other team, with fault and number, to the one who writes.
    function call(team: string, number: int) {
        const words = calls.faultName + " " + team + (number >= 0 ? " " + number : "") + ", point\u00a0" + calls.other(team);
        if (calls.court.write.calledPoint(calls.other(team), calls.fault, number))
            calls.court.act.done(words, "line");
        calls.shut();
    }
}
