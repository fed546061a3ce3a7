pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The phone at rest. In a rally the hands are busy: score, server, one pad. Dead ball: the whole well and one row. While
// the one who writes is missing nobody ends a rally, so that counts as a dead ball.
Item {
    id: calm

    required property CourtView court
    required property NetState desk

    readonly property PhoneSizes sizes: Theme.phone
    readonly property bool orphaned: calm.court.writer.firstKey !== ""
    readonly property bool rally: calm.court.inRally && !calm.orphaned
    readonly property bool troubled: !calm.rally && (calm.court.storageText !== "" || calm.orphaned)
    readonly property bool clocked: calm.court.clock.present
    readonly property bool served: calm.desk.playing && calm.court.server >= 0 && calm.court.serverTeam !== "" && !calm.clocked && calm.court.lostText === ""
    readonly property int disc: calm.rally ? 210 : 100
    readonly property real middle: calm.rally ? 362 : 268
    readonly property int padWide: Math.floor((calm.width - 2 * calm.sizes.margin - calm.sizes.gap) / 2)

    NetPhoneScore {
        y: 20
        width: calm.width
        height: 190
        court: calm.court
    }

    Words {
        visible: calm.served
        x: 26
        mid: calm.middle
        size: calm.rally ? calm.sizes.figure : calm.sizes.clock
        bold: true
        text: calm.court.serverTeam
    }

    ServerDisc {
        objectName: "net.due.disc"
        visible: calm.served
        x: calm.rally ? 135 : 180
        y: Math.round(calm.middle - height / 2)
        across: calm.disc
        size: calm.rally ? calm.sizes.meant : calm.sizes.due
        number: String(calm.court.server)
        Accessible.role: Accessible.StaticText
        Accessible.name: "Server due: Team " + calm.court.serverTeam + ", number " + calm.court.server
    }

    Words {
        visible: calm.clocked || !calm.served
        x: Math.round((calm.width - width) / 2)
        bl: 240
        size: calm.sizes.strong
        bold: true
        text: calm.court.lostText !== "" ? "No job here" : calm.clocked ? calm.court.clock.title : calm.court.phaseWord
    }

    ClockText {
        visible: calm.clocked
        x: Math.round((calm.width - width) / 2)
        bl: 326
        size: calm.sizes.clock
        text: calm.court.clock.leftText
    }

    Words {
        visible: !calm.served && !calm.clocked
        x: calm.sizes.margin
        y: 266
        width: calm.width - 2 * calm.sizes.margin
        horizontalAlignment: Text.AlignHCenter
        wrapMode: Text.WordWrap
        size: calm.sizes.body
        text: calm.court.lostText !== "" ? calm.court.lostText : calm.court.result !== "" ? calm.court.result + (calm.court.phase === "finished" ? "\n" + (calm.court.end.wait !== "" ? calm.court.end.wait : calm.court.end.next !== "" ? "Next to sign: " + calm.court.end.next : "") : "") : calm.court.phase === "before" ? "Linked " + calm.court.linksText + (calm.court.expectedText !== "" ? ". " + calm.court.expectedText : "") : ""
    }

    Pad {
        objectName: "net.phone.call"
        visible: calm.rally
        x: calm.sizes.margin
        y: calm.height - 16 - height
        width: calm.width - 2 * calm.sizes.margin
        height: 160
        sizes: calm.sizes
        kind: Pad.Outlined
        centred: true
        path: Marks.netcall
        markSize: 52
        labelSize: calm.sizes.title
        text: "Call"
        onActed: calm.desk.open("call")
    }

    NetTrouble {
        visible: calm.troubled
        x: calm.sizes.margin
        y: 332
        width: calm.width - 2 * calm.sizes.margin
        height: 96
        court: calm.court
        desk: calm.desk
        sizes: calm.sizes
    }

    NetPhoneRow {
        visible: !calm.rally && !calm.troubled
        x: calm.sizes.margin
        y: 332
        width: calm.width - 2 * calm.sizes.margin
        height: 96
        court: calm.court
        desk: calm.desk
    }

    NetPhoneDuty {
        visible: !calm.rally && calm.desk.employed && !calm.desk.playing && calm.court.duties.code !== ""
        x: calm.sizes.margin
        y: 432
        width: calm.width - 2 * calm.sizes.margin
        height: 140
        duties: calm.court.duties
        tell: calm.court.tell
    }

    NetPhonePads {
        visible: !calm.rally && calm.desk.attended
        x: calm.sizes.margin
        y: calm.height - 16 - height
        width: calm.width - 2 * calm.sizes.margin
        court: calm.court
        desk: calm.desk
    }
}
