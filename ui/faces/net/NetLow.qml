pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The upper row of a tray that asks nothing: the notice raised here with its way back, the last act with its undo, or
// one quiet line.
Item {
    id: low

    required property CourtView court
    required property NetState desk
    required property bool plated
    required property bool tips
    property bool named: false

    readonly property NetSizes sizes: Theme.net
    readonly property ActLook act: low.court.act
    readonly property NoticeLook notice: low.court.plates.shown
    readonly property bool undoing: low.act.present && (low.act.entry !== "" || low.court.plates.own.present)
    readonly property bool mine: low.plated && low.notice.mine && low.notice.state === "open" && !low.court.plates.hold.present
    readonly property bool ends: low.plated && !low.undoing && !low.mine && low.court.plates.ending.present
    readonly property bool paired: low.undoing || low.mine || low.ends
    readonly property bool free: !low.plated && !low.undoing && !low.tips && !low.court.refusal.present
    readonly property int padWide: 250
    readonly property bool chained: !low.court.inRally && low.court.phase === "dead_ball" && low.court.ready.state !== "none" && !low.court.ready.byPerson && !low.court.courtsChanged

    NetPlate {
        visible: low.plated && !(low.undoing && low.act.way === "line")
        width: low.paired ? low.width - low.padWide - low.sizes.gap : low.width
        height: low.height
        low: true
        notice: low.notice
    }

    SuggestionPlate {
        visible: low.tips
        width: low.paired ? low.width - low.padWide - low.sizes.gap : low.width
        height: low.height
        sizes: low.sizes
        titleSize: low.sizes.strong
        title: low.court.suggestion.title
        value: low.court.suggestion.after
        detail: low.width > 800 ? "suggested; your tap tells R1 and the table" : "your tap tells all"
    }

    Words {
        visible: low.undoing && low.act.way === "line" && !low.tips
        mid: low.height / 2
        width: low.width - low.padWide - low.sizes.gap
        wrapMode: Text.WordWrap
        size: low.sizes.body
        bold: true
        text: low.act.words
    }

    Pad {
        objectName: "net.tray.undo"
        visible: low.undoing
        x: low.width - width
        width: low.padWide
        height: low.height
        sizes: low.sizes
        kind: Pad.Outlined
        path: Marks.undo
        text: "Undo"
        detail: low.act.remaining + " s left"
        onActed: low.desk.undo()
    }

    HoldPad {
        objectName: "net.tray.back"
        visible: low.mine && !low.undoing
        x: low.width - width
        width: low.padWide
        height: low.height
        sizes: low.sizes
        labelSize: low.sizes.small
        inset: Theme.s3
        plainText: "Take back"
        detail: asking ? "" : "hold the pad"
        onDone: low.desk.takeBack()
    }

    NetEndsPad {
        visible: low.ends
        width: low.padWide
        height: low.height
        sizes: low.sizes
        court: low.court
        desk: low.desk
    }

    Item {
        visible: low.free && !low.named && low.desk.employed
        anchors.fill: parent

        Rectangle {
            y: Theme.s5
            width: low.width
            height: Theme.hairline
            color: Theme.hair
            visible: low.court.inRally
        }

        Words {
            visible: low.court.inRally || (low.court.phase === "dead_ball" && !low.chained)
            mid: low.court.inRally ? 58 : 28
            size: low.sizes.body
            text: low.court.inRally ? (low.court.heldNotices > 0 ? low.court.heldNotices + (low.court.heldNotices === 1 ? " waits" : " wait") + " for the dead ball" : "") : low.court.floodText
            color: Theme.dim
        }

        Words {
            visible: low.court.inRally && low.court.heldNotices > 0
            y: 84
            width: low.width
            elide: Text.ElideNone
            wrapMode: Text.WordWrap
            size: low.sizes.body
            text: low.court.plates.heldText
            color: Theme.off
        }

        Words {
            readonly property ProposalLook line: low.court.proposal

            visible: line.older && !low.court.inRally && !low.chained
            mid: 64
            size: low.sizes.small
            text: "Old line, " + line.before + " becomes " + line.after + ": " + (line.saidText !== "" ? line.saidText : "waits for " + line.asks)
            color: Theme.dim
        }

        NetReadyLine {
            visible: low.chained
            anchors.fill: parent
            ready: low.court.ready
            narrow: low.width < 900
        }

        NetTurned {
            visible: low.court.courtsChanged && !low.court.inRally
            x: low.width - width
            y: 10
        }
    }
}
