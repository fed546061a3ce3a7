pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What every face is: a page in the ground colour that shows one court. An arriving notice never takes the focus; it is
// announced to a screen reader, a NOW at once, the rest politely. A refusal is announced too.
Rectangle {
    id: face

    required property CourtView court
    property string announced: ""

    color: Theme.ground

    Connections {
        target: face.court

        function onTopChanged() {
            const notice = face.court.top;
            face.announced = notice.present ? notice.spoken : "";
            if (notice.present)
                face.Accessible.announce(notice.spoken, notice.level === "now" ? Accessible.Assertive : Accessible.Polite);
        }
    }

    Connections {
        target: face.court.refusal

        function onChanged() {
            if (face.court.refusal.present)
                face.Accessible.announce(face.court.refusal.sentence, Accessible.Polite);
        }
    }
}
