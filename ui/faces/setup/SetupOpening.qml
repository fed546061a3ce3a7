pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views

// What is written before a court is opened: the court, what the event decides, the teams.
Item {
    id: pages

    required property SetupView setup
    required property bool wide

    SetupCourt {
        anchors.fill: parent
        visible: pages.setup.page === "court"
        form: pages.setup.court
        event: pages.setup.event
        wide: pages.wide
        onEventAsked: pages.setup.showEvent()
    }

    SetupEvent {
        anchors.fill: parent
        visible: pages.setup.page === "event"
        form: pages.setup.event
        wide: pages.wide
    }

    SetupTeams {
        anchors.fill: parent
        visible: pages.setup.page === "teams"
        setup: pages.setup
        wide: pages.wide
    }
}
