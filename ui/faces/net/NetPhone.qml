pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views

// phone
Item {
    id: phone

    required property CourtView court
    required property NetState desk
}
