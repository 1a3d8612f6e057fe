using Reliability.Analysis;
using Reliability.Engine;
using Reliability.Engine.Abstractions;
using Reliability.Service.Work;

namespace Reliability.Service.Endpoints;

/// <summary>The engine, the questions asked of it, and the lanes the work runs on.</summary>
internal static class AnalysisSetup
{
    public static void AddAnalysis(this WebApplicationBuilder builder)
    {
        builder.Services.AddSingleton<ILifeModelCatalog>(_ => BuiltInLifeModels.CreateCatalog());
        builder.Services.AddSingleton<FitLives>();
        builder.Services.AddSingleton<AssessLifeModels>();
        builder.Services.AddSingleton<EstimateSurvival>();
        builder.Services.AddSingleton<EstimateReplacements>();
        builder.Services.AddSingleton<CompareCohorts>();
        builder.Services.AddSingleton<AnalysisLanes>();
    }
}
