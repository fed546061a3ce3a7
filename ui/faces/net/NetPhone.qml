pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// R2's face folded to a phone: a notice takes it; in a rally score, server and one pad; else the acts of the well.
Item {
    id: phone

    required property CourtView court
    required property NetState desk

    readonly property bool noticed: phone.court.top.present
    readonly property bool coming: !phone.court.writer.matchHere
    readonly property bool paged: !phone.noticed && phone.desk.page !== ""
    readonly property bool tips: !phone.noticed && !phone.paged && phone.court.suggestion.present && !phone.court.inRally

    readonly property bool checks: !phone.noticed && !phone.paged && phone.court.phase === "check" && phone.desk.employed

    NetPhoneRail {
        width: phone.width
        height: Theme.phone.rail
        court: phone.court
        scored: phone.noticed || phone.paged
        onCrewAsked: phone.desk.open(phone.desk.page === "crew" ? "" : "crew")
    }

    Loader {
        anchors.fill: parent
        anchors.topMargin: Theme.phone.rail
        active: phone.paged && phone.desk.page === "crew"
        sourceComponent: NetCrew {
            court: phone.court
            sizes: Theme.phone
            narrow: true
            onClosed: phone.desk.shut()
        }
    }

    Loader {
        anchors.fill: parent
        anchors.topMargin: Theme.phone.rail
        active: phone.coming && !phone.paged
        sourceComponent: CatchingUp {
            writer: phone.court.writer
            sizes: Theme.phone
        }
    }

    Loader {
        anchors.fill: parent
        anchors.topMargin: Theme.phone.rail
        active: phone.noticed
        sourceComponent: NetPhoneNotice {
            court: phone.court
        }
    }

    Loader {
        anchors.fill: parent
        anchors.topMargin: Theme.phone.rail
        active: phone.paged && (phone.desk.page === "call" || phone.desk.page === "server")
        sourceComponent: NetPhonePick {
            court: phone.court
            desk: phone.desk
        }
    }

    Loader {
        anchors.fill: parent
        anchors.topMargin: Theme.phone.rail
        active: phone.paged && phone.desk.page === "conduct"
        sourceComponent: NetPhoneConduct {
            court: phone.court
            desk: phone.desk
        }
    }

    Loader {
        anchors.fill: parent
        anchors.topMargin: Theme.phone.rail
        active: phone.paged && phone.desk.page === "ends"
        sourceComponent: NetEnds {
            court: phone.court
            desk: phone.desk
            sizes: Theme.phone

            NetPhoneCancel {
                desk: phone.desk
            }
        }
    }

    Loader {
        anchors.fill: parent
        anchors.topMargin: Theme.phone.rail
        active: phone.paged && phone.desk.page === "subs"
        sourceComponent: NetPhoneSubs {
            court: phone.court
            desk: phone.desk
        }
    }

    Loader {
        anchors.fill: parent
        anchors.topMargin: Theme.phone.rail
        active: phone.paged && phone.desk.page === "pause"
        sourceComponent: NetPhonePause {
            court: phone.court
            desk: phone.desk
        }
    }

    Loader {
        anchors.fill: parent
        anchors.topMargin: Theme.phone.rail
        active: phone.checks
        sourceComponent: NetPhoneCheck {
            court: phone.court
            desk: phone.desk
        }
    }

    Loader {
        anchors.fill: parent
        anchors.topMargin: Theme.phone.rail
        active: phone.tips
        sourceComponent: NetPhoneTip {
            court: phone.court
            desk: phone.desk
        }
    }

    Loader {
        anchors.fill: parent
        anchors.topMargin: Theme.phone.rail
        active: !phone.coming && !phone.noticed && !phone.paged && !phone.tips && !phone.checks
        sourceComponent: NetPhoneCalm {
            court: phone.court
            desk: phone.desk
        }
    }
}
