pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The place of the answer: it answers the plate with its weight, else tells all what is suggested, else says ready.
Item {
    id: place

    required property CourtView court
    required property NetState desk
    property FaceSizes sizes: Theme.net
    property bool large: false

    readonly property NoticeLook asks: place.court.top
    readonly property bool tips: !place.asks.present && place.court.suggestion.present && !place.court.inRally
    readonly property bool pausing: !place.asks.present && !place.tips && place.court.phase === "time_out" && place.desk.employed
    readonly property bool chain: !place.asks.present && !place.tips && !place.pausing && place.court.ready.state === "held" && !place.court.inRally
    readonly property ProposalLook proposal: place.court.proposal
    readonly property bool signs: place.large && place.proposal.present && !place.proposal.older && place.proposal.saidText === "" && !place.asks.present && !place.tips && !place.pausing && !place.chain
    readonly property bool checks: place.court.duties.checkDue !== ""
    readonly property bool said: place.chain && place.court.ready.r2Done && place.desk.playing
    readonly property int wordSize: place.large ? place.sizes.title : place.sizes.strong

    function answerWord(kind: string): string {
        return kind === "visible_score" ? "It agrees" : kind === "count_near_limit" ? "Coach told" : "Got it";
    }

    AnswerPad {
        objectName: "net.answer.pad"
        visible: place.asks.present
        anchors.fill: parent
        sizes: place.sizes
        level: place.asks.level
        labelSize: place.asks.level === "now" || place.large ? place.sizes.title : place.sizes.strong
        markSize: place.large ? 72 : 48
        text: place.answerWord(place.asks.kind)
        armKey: place.asks.noticeId
        onActed: place.court.tell.answer(place.asks.noticeId)
    }

    Pad {
        objectName: "net.answer.tell"
        visible: place.tips
        anchors.fill: parent
        sizes: place.sizes
        kind: Pad.Filled
        centred: true
        path: Marks.flag
        markSize: place.large ? 72 : 48
        labelSize: place.large ? place.sizes.title : place.sizes.strong
        text: "Tell all"
        arm: true
        armKey: place.court.suggestion.proposalId
        onActed: place.desk.setPoint()
    }

    Pad {
        objectName: "net.answer.play"
        visible: place.pausing
        anchors.fill: parent
        sizes: place.sizes
        centred: true
        path: place.large ? Marks.timeout : ""
        labelSize: place.wordSize
        text: "Time-out over"
        arm: true
        onActed: place.court.write.endTimeOut()
    }

    Pad {
        objectName: "net.answer.ready"
        visible: place.chain && !place.court.ready.r2Done
        anchors.fill: parent
        sizes: place.sizes
        kind: enabled ? Pad.Filled : Pad.Raised
        centred: true
        path: Marks.answered
        labelSize: place.wordSize
        text: place.checks ? "Checked" : "I am ready"
        detail: place.court.plates.hold.present ? "release your hold first" : place.checks ? "all positions fit" : "R1 is told last"
        enabled: !place.court.plates.hold.present
        arm: true
        onActed: place.desk.sayReady()
    }

    // R1's decision, given by sign and entered here: standing there is room for it.
    Repeater {
        model: place.signs ? [true, false] : []

        Pad {
            required property bool modelData

            objectName: modelData ? "net.decision.agree" : "net.decision.no"
            x: modelData ? 0 : place.width - width
            width: Math.floor((place.width - place.sizes.gap) / 2)
            height: place.height
            sizes: place.sizes
            centred: true
            path: modelData ? Marks.answered : Marks.cross
            labelSize: place.sizes.strong
            text: place.proposal.mine ? (modelData ? "Agree" : "No") : place.proposal.asks + (modelData ? " agrees" : " says no")
            detail: place.proposal.mine ? "" : "by sign"
            arm: true
            armKey: place.proposal.proposalId
            onActed: {
                if (place.proposal.mine)
                    place.court.tell.consent(place.proposal.proposalId, modelData);
                else
                    place.court.tell.consentFor(place.proposal.proposalId, modelData, place.proposal.asks);
            }
        }
    }

    // R2 has said ready: what the service still waits for.
    Item {
        visible: place.said
        anchors.fill: parent
        Accessible.role: Accessible.StaticText
        Accessible.name: "You are ready. " + place.court.ready.sentence

        Words {
            x: Math.round((parent.width - width) / 2)
            mid: parent.height / 2 - 20
            size: place.sizes.body
            bold: true
            text: "You are ready"
        }

        Words {
            x: Math.round((parent.width - width) / 2)
            mid: parent.height / 2 + 20
            size: place.sizes.small
            text: place.court.ready.sentence
            color: Theme.dim
        }
    }
}
