pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What R1 can tell the crew: three pads. It asks for the team where that is not known, and closes by itself. While a
// notice waits for R1's word the third pad leads to how it ended.
Item {
    id: page

    required property CourtView court
    required property WristShape shape
    property string asking: ""
    property int remaining: 5

    readonly property GlanceLook glance: page.court.glance
    readonly property bool round: page.shape.round
    readonly property int firstY: page.round ? 42 : 70
    readonly property int pitch: page.round ? 136 : 140
    readonly property int padHigh: page.round ? 124 : Theme.wrist.padHigh
    readonly property NoticeLook ending: page.court.plates.ending
    readonly property bool ends: page.ending.present && page.ending.closes && page.glance.pointKind === ""
    readonly property string pointWord: page.glance.pointKind === "match_point" ? "Match point" : "Set point"

    signal closed

    function choose(kind: string, team: string, known: bool) {
        if (known)
            page.send(kind, team);
        else
            page.asking = kind;
        page.remaining = 5;
    }

    function send(kind: string, team: string) {
        if (page.court.tell.notice(kind, team, -1, ""))
            page.court.act.done(kind === "conduct" ? "Conduct" : kind === "wrong_server" ? "Wrong server" : page.pointWord, "notice");
        page.closed();
    }

    function end(outcome: string) {
        page.court.tell.close(page.ending.noticeId, outcome);
        page.closed();
    }

    Timer {
        interval: Theme.telling / 5
        repeat: true
        running: page.visible
        onTriggered: {
            page.remaining -= 1;
            if (page.remaining <= 0)
                page.closed();
        }
    }

    Item {
        anchors.fill: parent
        visible: page.asking === ""

        Words {
            visible: !page.round
            x: Theme.s5
            bl: 48
            size: Theme.wrist.body
            bold: true
            text: "Tell all"
        }

        Words {
            visible: !page.round
            x: parent.width - Theme.s5 - width
            bl: 48
            size: Theme.wrist.small
            text: "back in " + page.remaining + " s"
            color: Theme.dim
        }

        Repeater {
            model: [["server", "Wrong server", Marks.serve], ["conduct", "Conduct", Marks.report], ["point", page.ends ? (page.ending.title.length > 9 ? "It is over" : page.ending.title + " over") : page.pointWord, page.ends ? Marks.answered : Marks.flag]]

            WristPad {
                id: pad

                required property list<string> modelData
                required property int index

                objectName: "wrist.tell." + pad.modelData[0]
                x: page.round ? 0 : Theme.wrist.margin
                y: page.firstY + pad.index * page.pitch
                width: page.width - 2 * pad.x
                height: page.padHigh
                shape: page.shape
                text: pad.modelData[1]
                path: pad.modelData[2]
                labelSize: Theme.wrist.body
                leading: true
                markSize: page.round ? 40 : Theme.wrist.mark
                middle: page.round ? [0.68, 0.5, 0.3][pad.index] : 0.5
                arm: true
                enabled: pad.index < 2 || page.ends || page.glance.pointKind !== ""
                onActed: {
                    if (pad.index === 0)
                        page.choose("wrong_server", page.glance.serverTeam, page.glance.serverTeam !== "");
                    else if (pad.index === 1)
                        page.choose("conduct", "", false);
                    else if (page.ends)
                        page.choose("over", "", false);
                    else
                        page.choose(page.glance.pointKind, page.glance.pointTeam, true);
                }
            }
        }
    }

    WristEnds {
        anchors.fill: parent
        visible: page.asking === "over"
        notice: page.ending
        shape: page.shape
        onChosen: outcome => page.end(outcome)
    }

    WristHalves {
        anchors.fill: parent
        visible: page.asking !== "" && page.asking !== "over"
        court: page.court
        shape: page.shape
        remaining: page.remaining
        onChosen: team => page.send(page.asking, team)
    }
}
