pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views

// What stands under the court: one of the panels, chosen by `Desk`. The focus ring is drawn by the panel's rows.
Item {
    id: middle

    required property CourtView view

    readonly property DeskPanel panel: middle.view.desk.panel
    readonly property string kind: middle.panel.kind

    Accessible.role: Accessible.List
    Accessible.focusable: true
    Accessible.name: middle.kind === "notices" || middle.kind === "wrong" ? "Notices" : "Match history"

    TableHistory {
        visible: middle.kind === "history" || middle.kind === "older" || (middle.kind === "notices" && middle.panel.waiting <= 2)
        y: middle.kind === "older" ? 106 : middle.kind !== "notices" ? 0 : (middle.panel.firstLive ? 102 : 56) + 50 * (middle.panel.waiting - 1)
        width: middle.width
        height: middle.height - y
        view: middle.view
    }

    TableNotices {
        visible: middle.kind === "notices"
        width: middle.width
        height: middle.height
        view: middle.view
    }

    TableOlder {
        visible: middle.kind === "older"
        width: middle.width
        height: 96
        proposal: middle.view.proposal
    }

    TableWrong {
        visible: middle.kind === "wrong"
        width: middle.width
        height: middle.height
        view: middle.view
    }

    TableActs {
        visible: middle.kind === "acts"
        width: middle.width
        height: middle.height
        panel: middle.panel
    }

    TableExchange {
        visible: middle.kind === "exchange"
        width: middle.width
        height: middle.height
        panel: middle.panel
    }

    TableTrouble {
        visible: middle.kind === "trouble"
        width: middle.width
        height: Math.min(middle.height, 160)
        sentence: middle.view.storageText
    }

    TableLinks {
        visible: middle.kind === "links"
        width: middle.width
        height: middle.height
        view: middle.view
    }

    TableMoment {
        visible: ["clock", "sets", "check", "toss", "finished"].includes(middle.kind)
        width: middle.width
        height: middle.height
        view: middle.view
    }
}
