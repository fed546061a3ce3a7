pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A moment outside play: toss, line-ups due, position check, time-out, between sets, match end. A title, the clock if
// one runs, and a row for each team.
Item {
    id: moment

    required property CourtView view

    readonly property TableSizes sizes: Theme.table
    readonly property string kind: moment.view.desk.panel.kind
    readonly property ClockLook clock: moment.view.clock
    readonly property list<string> results: moment.view.setScores
    readonly property list<string> findings: moment.kind === "finished" ? [...moment.view.end.findings, ...moment.view.findings.filter(one => !moment.view.end.findings.includes(one))] : moment.view.findings

    readonly property string lastSet: moment.view.lastSetText

    function title(): string {
        switch (moment.kind) {
        case "clock":
            return moment.clock.present ? moment.clock.title : "Time-out";
        case "toss":
            return "Before the match";
        case "check":
            return "Check positions";
        case "finished":
            return moment.view.result !== "" ? moment.view.result : "The match is over";
        default:
            return moment.lastSet !== "" ? moment.lastSet : "Line-ups due";
        }
    }

    function row(team: TeamLook, sheet: SheetLook): string {
        switch (moment.kind) {
        case "clock":
            return "time-outs " + team.timeOutsText + ", substitutions " + team.substitutionsText;
        case "toss":
            return team.name;
        case "check":
            return sheet.numbers.join(" ") + (team.liberoList !== "" ? ", libero " + team.liberoList : "");
        case "finished":
            return team.name + ", " + team.sets + (team.sets === 1 ? " set" : " sets");
        default:
            return sheet.state === "accepted" ? "in: " + sheet.numbers.join(" ") + (team.liberoList !== "" ? ", libero " + team.liberoList : "") : "still missing";
        }
    }

    Words {
        objectName: "table.moment.title"
        bl: 26
        size: moment.sizes.strong
        bold: true
        text: moment.title()
    }

    Words {
        visible: moment.kind !== "finished"
        x: moment.width - width
        bl: 26
        size: moment.sizes.body
        text: moment.kind === "sets" && moment.lastSet !== "" ? "line-ups for set " + moment.view.setNumber : moment.results.join("  ")
        color: Theme.dim
    }

    Rectangle {
        y: 44
        width: moment.width
        height: Theme.hairline
        color: Theme.hair
    }

    Repeater {
        model: [moment.view.leftTeam, moment.view.rightTeam]

        TableMomentRow {
            id: team

            required property TeamLook modelData
            required property int index

            readonly property SheetLook sheet: team.modelData.letter === "A" ? moment.view.sheetA : moment.view.sheetB

            y: 46 + team.index * 44
            width: moment.width
            letter: team.modelData.letter
            words: moment.row(team.modelData, team.sheet)
        }
    }

    Words {
        objectName: "table.moment.clock"
        visible: moment.clock.present && moment.kind !== "finished" && moment.kind !== "toss"
        bl: 222
        size: moment.sizes.substitution
        bold: true
        text: moment.clock.leftText
    }

    Words {
        x: moment.clock.present ? 236 : 0
        bl: 200
        size: moment.sizes.body
        visible: moment.kind === "clock" || moment.kind === "sets" || (moment.kind === "check" && checks.count === 0)
        text: moment.kind === "clock" ? "R2 watches the time. Enter: it is over." : moment.kind === "check" ? "Scorer against the sheet, R2 against the line-up." : "Left or Right opens a team's sheet."
        color: Theme.dim
    }

    TableChecks {
        id: checks

        visible: moment.kind === "check"
        x: moment.clock.present ? 236 : 0
        y: 150
        width: moment.width - x
        view: moment.view
    }

    Words {
        visible: moment.kind === "toss" && text !== ""
        bl: 206
        size: moment.sizes.body
        bold: moment.view.duties.lateText !== ""
        text: [moment.view.duties.lateText, moment.view.expectedText].filter(one => one !== "").join(". ")
    }

    Words {
        visible: moment.kind === "finished" || moment.kind === "toss"
        bl: 170
        size: moment.sizes.body
        text: moment.kind === "toss" ? "R2 tells you who serves first and who has which side." : moment.view.phase === "sealed" ? "Finished and locked." : moment.findings.length > 0 ? "To check: " + moment.findings.length : moment.view.end.signedText !== "" ? moment.view.end.signedText : "Nothing to check."
        bold: moment.findings.length > 0
        color: Theme.dim
    }

    Words {
        visible: moment.kind === "finished" && moment.findings.length > 0
        width: moment.width
        bl: 198
        size: moment.sizes.small
        text: moment.findings.length > 0 ? moment.findings[0] : ""
        wrapMode: Text.WordWrap
    }
}
