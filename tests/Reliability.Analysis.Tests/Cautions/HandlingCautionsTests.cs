using Reliability.History.Catalogue;
using Xunit;

namespace Reliability.Analysis.Tests.Cautions;

public sealed class HandlingCautionsTests
{
    [Fact]
    public void The_model_s_own_words_come_first_and_replace_the_usual_ones_of_the_same_code()
    {
        var own = new Caution { Code = "COOL_DOWN", Text = "Let the lamp cool down for 30 minutes." };

        var cautions = HandlingCautions.For(new ModuleModelVersion { Cautions = [own] });

        Assert.Same(own, cautions[0]);
        Assert.Single(cautions, c => c.Code == "COOL_DOWN");
        Assert.Equal(HandlingCautions.Usual.Count, cautions.Count);
    }

    [Fact]
    public void The_usual_ones_cover_what_a_person_who_opens_equipment_must_know()
    {
        string[] codes =
        [
            "ISOLATE_SUPPLY", "COOL_DOWN", "EYE_AND_HAND_PROTECTION", "GLASS_UNDER_PRESSURE", "INTERLOCK", "CHECK_BEFORE_USE", "DISPOSAL",
            "PLANNING_AID", "FOLLOW_SERVICE_MANUAL", "QUALIFIED_STAFF_ONLY", "RATED_HOURS_HOLD", "NOT_AN_ALARM", "LIFE_ONLY",
            "REFURBISHING_PERMITTED",
        ];

        Assert.Equal(codes.Order(), HandlingCautions.For(null).Select(c => c.Code).Order());
        Assert.All(HandlingCautions.For(null), c => Assert.EndsWith(".", c.Text));
    }
}
