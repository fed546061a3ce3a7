pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The phone at rest. In a rally the hands are busy: score, server, one pad. Dead ball: the whole well and one row.
Item {
    id: calm

    required property CourtView court
    required property NetState desk

    readonly property PhoneSizes sizes: Theme.phone
    readonly property bool rally: calm.court.inRally
    readonly property bool clocked: calm.court.clock.present
    readonly property bool served: calm.desk.playing && calm.court.server >= 0 && calm.court.serverTeam !== "" && !calm.clocked
    readonly property int disc: calm.rally ? 210 : 146
    readonly property real middle: calm.rally ? 362 : 298
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
        size: calm.sizes.figure
        bold: true
        text: calm.court.serverTeam
    }

    ServerDisc {
        objectName: "net.due.disc"
        visible: calm.served
        x: calm.rally ? 135 : 165
        y: Math.round(calm.middle - height / 2)
        across: calm.disc
        size: calm.rally ? calm.sizes.meant : calm.sizes.figure
        number: String(calm.court.server)
        Accessible.role: Accessible.StaticText
        Accessible.name: "Server due: Team " + calm.court.serverTeam + ", number " + calm.court.server
    }

    Words {
        visible: calm.clocked || !calm.served
        x: Math.round((calm.width - width) / 2)
        bl: 262
        size: calm.sizes.strong
        bold: true
        text: calm.clocked ? calm.court.clock.title : calm.court.phaseWord
    }

    ClockText {
        visible: calm.clocked
        x: Math.round((calm.width - width) / 2)
        bl: 362
        size: calm.sizes.figure
        text: calm.court.clock.leftText
    }

    Words {
        visible: !calm.served && !calm.clocked
        x: calm.sizes.margin
        y: 286
        width: calm.width - 2 * calm.sizes.margin
        horizontalAlignment: Text.AlignHCenter
        wrapMode: Text.WordWrap
        size: calm.sizes.body
        text: calm.court.result !== "" ? calm.court.result : calm.court.phase === "check" ? "The line-up check needs the tablet." : calm.court.phase === "before" ? "Linked " + calm.court.linksText : ""
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

    NetPhoneRow {
        visible: !calm.rally
        x: calm.sizes.margin
        y: 386
        width: calm.width - 2 * calm.sizes.margin
        height: 96
        court: calm.court
        desk: calm.desk
    }

    Repeater {
        model: !calm.rally && calm.desk.attended ? ["conduct", "call", "server", "hold"] : []

        Pad {
            required property string modelData
            required property int index

            readonly property bool held: modelData === "hold" && calm.court.plates.hold.present

            objectName: "net.well." + modelData
            enabled: calm.desk.playing || modelData === "conduct"
            x: calm.sizes.margin + (index % 2) * (calm.padWide + calm.sizes.gap)
            y: calm.height - 16 - 2 * 84 - calm.sizes.gap + Math.floor(index / 2) * (84 + calm.sizes.gap)
            width: calm.padWide
            height: 84
            sizes: calm.sizes
            centred: true
            labelSize: calm.sizes.small
            kind: held ? Pad.Filled : Pad.Raised
            text: modelData === "conduct" ? "Conduct" : modelData === "call" ? "Call" : modelData === "server" ? "Wrong server" : held ? "Release hold" : "Hold service"
            onActed: {
                if (modelData === "hold")
                    calm.desk.holdOrRelease();
                else
                    calm.desk.open(modelData);
            }
        }
    }
}
